"""What became of a name that is kept beside the log."""


def name_kept(code: str) -> str:
    """A name is shown from now on."""
    return f"{code} is now shown with that name."


def name_deleted(code: str) -> str:
    """A name is gone; what is kept of its bearer is the code."""
    return (
        f"The name of {code} is deleted; its entries and figures stay under the code. Backups made "
        "before still hold it."
    )


__all__ = ["name_deleted", "name_kept"]
