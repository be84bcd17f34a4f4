"""The two file formats of the project, read and written: shows and plans as JSON."""
