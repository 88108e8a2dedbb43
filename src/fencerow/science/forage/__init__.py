"""Forage: what deer need, what grows, what a crop bears, and the weekly ledger of the three."""
