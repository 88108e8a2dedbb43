"""The HTTP API and the pages' files, for one tract on this machine."""

from fencerow.web.app import make_app

__all__ = ["make_app"]
