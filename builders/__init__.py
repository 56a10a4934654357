"""Scripts that write what is generated: the accuracy page, the command reference."""
