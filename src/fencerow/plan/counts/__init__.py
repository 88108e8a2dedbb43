"""Counts: what each comes to and how sure it is, when the next is due, how one is walked."""
