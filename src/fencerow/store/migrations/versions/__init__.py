"""One file for each step; a step that has shipped is never changed."""
