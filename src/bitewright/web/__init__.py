"""Pages in the browser: each parses a request, calls one task and draws the answer."""
