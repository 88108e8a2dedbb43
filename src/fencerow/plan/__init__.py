"""Planners: each takes a tract and what is known about it, and answers one question in figures.

A planner reads no clock, no file and no store: the day, the seed and the tables are arguments.
"""
