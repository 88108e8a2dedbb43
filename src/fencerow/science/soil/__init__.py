"""Soil: lime, nutrients, materials and their blending, spreader and sprayer settings."""
