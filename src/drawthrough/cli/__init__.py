"""The command line: one file per command, each imported only when it is called for."""

# Imported here and not on the first call: importing the module later would put it in the place of its own function.
from drawthrough.cli.main import main as main
