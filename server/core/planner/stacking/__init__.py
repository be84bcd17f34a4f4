"""Who may stand on whom: lid rules, rectangle packing, stack enumeration."""
