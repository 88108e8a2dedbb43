"""Ground: lengths, areas and bearings, the local grid, slope and aspect."""
