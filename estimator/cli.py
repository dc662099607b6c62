"""Commands."""


def main() -> None:
    """Placeholder until the commands stand."""
