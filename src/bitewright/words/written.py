"""What was written, and where."""


def written_to(what: str, path: object) -> str:
    """A file that was written: "Overlay written to overlay.png."."""
    return f"{what} written to {path}."


def film_written(path: object) -> str:
    """A simulated film that was written."""
    return f"Film written to {path} (SIMULATED)."


__all__ = ["film_written", "written_to"]
