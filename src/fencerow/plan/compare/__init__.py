"""Compare: plans side by side, what they cost, and how to spend a budget."""
