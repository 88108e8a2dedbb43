"""Fencerow: a year on hunting ground for white-tailed deer, with the working of every figure."""

from importlib.metadata import version

__version__ = version("fencerow")
