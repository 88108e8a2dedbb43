"""Learning: what clips, cages and counts of a plot say of its growth and its use."""
