"""Plans and records on paper: rows to scale as SVG and PDF, sheets that work with a marker."""
