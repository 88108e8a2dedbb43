"""Serving on the local net: a certificate authority of the person's own, HTTPS, a set-up page."""
