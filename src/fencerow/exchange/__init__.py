"""What comes in from, or goes out to, a file or a feed."""
