"""Plant counts, clipped frames and cages: what stands, and what was taken."""
