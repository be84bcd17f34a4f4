"""Plans to choose from: floor against ease, and room for error."""
