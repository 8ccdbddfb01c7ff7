"""Stage 1: the text of a project file becomes tables as written, each value with its place."""
