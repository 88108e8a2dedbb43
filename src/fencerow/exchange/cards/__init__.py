"""A camera's card of photos: read, put right in time, parted into visits, tagged."""
