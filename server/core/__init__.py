"""The evening, computed: pure types and functions, listed in DEVELOPERS.md in the order of use."""
