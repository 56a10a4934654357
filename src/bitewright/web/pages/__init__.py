"""The pages, one router a module."""
