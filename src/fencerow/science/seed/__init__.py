"""Seed: species, pure live seed, lots, mixes."""
