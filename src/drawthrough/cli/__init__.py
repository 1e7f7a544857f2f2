"""The command line: one file per command, each imported only when it is called for."""


def main(argv: list[str] | None = None) -> int:
    """Run the command line and return its exit code."""
    from drawthrough.cli.main import main as run

    return run(argv)
