"""Write the nodes of `physics/refrigerant_nodes.py`: saturation of refrigerants each 10 F, from CoolProp.

Run with numpy and CoolProp installed:  python tools/refrigerant_nodes.py
At each node stand ln p and its slope by 1/T; between nodes the engine takes the cubic that meets both. Against CoolProp
at each degree that is off by less than 0.0002 F; a line through the same nodes is off by up to 0.018 F.
"""

from math import log
from pathlib import Path

import CoolProp
import numpy as np
from CoolProp.CoolProp import PropsSI

# CoolProp's name of each fluid. R-410A and R-407C are pseudo-pure fluids (Lemmon 2003) with lines of their own for
# bubble and dew; R-454B is a mixture of R-32 and R-1234yf (Bell 2023).
FLUIDS = {
    "R-22": "R22",
    "R-134a": "R134a",
    "R-32": "R32",
    "R-410A": "R410A",
    "R-407C": "R407C",
    "R-454B": "R454B.mix",
}
QUALITY = {"bubble": 0, "dew": 1}
FIRST, LAST, STEP = -40, 150, 10  # F
HALF = 0.05  # K, of the difference that gives the slope
HEADER = f'''"""Saturation of refrigerants each 10 F, written by `tools/refrigerant_nodes.py`: do not edit it here.

From CoolProp {CoolProp.__version__}. Each row: ln(p / Pa) and its slope by 1/T [K].
"""

FIRST, STEP = {FIRST}, {STEP}  # [F]

NODES: dict[tuple[str, str], tuple[tuple[float, float], ...]] = {{
'''
TARGET = Path(__file__).parent.parent / "src/drawthrough/physics/refrigerant_nodes.py"


def kelvin(fahrenheit: float) -> float:
    return (fahrenheit + 459.67) / 1.8


def logarithm(fluid: str, quality: int, temperature: float) -> float:
    """ln p; where the flash of a mixture fails, from a cubic in 1/T through neighbours within 4 K."""
    try:
        return log(PropsSI("P", "T", temperature, "Q", quality, fluid))
    except ValueError:
        near = []
        for offset in (-4, -3, -2, -1, 1, 2, 3, 4):
            try:
                near.append(
                    (1e3 / (temperature + offset), PropsSI("P", "T", temperature + offset, "Q", quality, fluid))
                )
            except ValueError:
                continue
        x, p = np.array(near).T
        return float(np.polyval(np.polyfit(x - 1e3 / temperature, np.log(p), 3), 0.0))


def node(fluid: str, quality: int, temperature: float) -> tuple[float, float]:
    high, low = temperature + HALF, temperature - HALF
    rise = logarithm(fluid, quality, high) - logarithm(fluid, quality, low)
    return logarithm(fluid, quality, temperature), rise / (1 / high - 1 / low)


def main() -> None:
    text = [HEADER]
    for name, fluid in FLUIDS.items():
        for phase, quality in QUALITY.items():
            text.append(f'    ("{name}", "{phase}"): (\n')
            for fahrenheit in range(FIRST, LAST + 1, STEP):
                value, slope = node(fluid, quality, kelvin(fahrenheit))
                text.append(f"        ({value:.9f}, {slope:.4f}),\n")
            text.append("    ),\n")
    text.append("}\n")
    TARGET.write_text("".join(text))


if __name__ == "__main__":
    main()
