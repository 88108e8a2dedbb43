"""The sections of a plan as sheets: figures rounded once by `show`, nothing computed."""
