"""Files that no reader can use, and files that try to hurt one; made byte by byte where needed."""
