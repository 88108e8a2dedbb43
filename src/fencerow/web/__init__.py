"""The HTTP API and the pages' files, for one tract on this machine, or for all of a folder."""

from fencerow.web.app import make_app
from fencerow.web.shelf_app import app_for

__all__ = ["app_for", "make_app"]
