"""The file format: what a shop writes, one pydantic model a kind of file."""
