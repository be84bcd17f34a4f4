"""Rowcall: road cases into straight rows, and every one of them back."""
