"""Pure functions: how every number is computed. No file, no page, no unit text; exact fractions."""
