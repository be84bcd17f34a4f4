"""Row patterns by column generation and the integer master over them."""
