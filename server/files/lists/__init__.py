"""Reads the case list of any shop: what the columns, units and lines of its spreadsheet mean."""
