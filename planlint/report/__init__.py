"""One pure renderer a format: results in, text out."""
