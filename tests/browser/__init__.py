"""Driven in Chromium against a real server."""
