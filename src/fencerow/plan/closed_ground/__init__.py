"""Closed ground: who may go in, what has disturbed it, what is still wanted, who is out today."""
