"""The model of a tract, and the fold of its log into that model: pure, no store, no clock."""
