"""What a device is made for, in the words of the trade."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from netcheck.figure import figure
from netcheck.model.devices import Conducts, Device, Part

WITH_UNITS = (
    ("current", "{}", "A"),
    ("setting_a", "set {}", "A"),
    ("full_load_a", "{} full load", "A"),
    ("power", "{}", "W"),
    ("power_va", "{}", "VA"),
    ("interrupting_a", "interrupts {}", "A"),
    ("available_a", "{} available", "A"),
    ("withstand_a", "withstands {}", "A"),
    ("service_factor", "service factor {}", ""),
    ("time_s", "{}", "s"),
    ("terminals_c", "terminals {}", "degC"),
)


def ratings(device: Device, parts: Sequence[Part]) -> str:
    """Ratings said of the device, of its loads and of its contacts, each once."""
    own = dict.fromkeys(_of_device(device))
    of_loads = [said for said in _of_loads(parts) if not own or said.startswith("coil")]
    return ", ".join([*own, *dict.fromkeys([*of_loads, *_of_contacts(parts)])])


def _of_device(device: Device) -> Iterator[str]:
    values = device.values
    if poles := device.number("poles"):
        yield f"{poles:g}-pole"
    volts = values.get("rating_text") or _volts(device.number("rating"))
    if volts:
        yield f"{volts} {values.get('rating_kind', '')}".strip()
    for key, words, unit in WITH_UNITS:
        number = device.number(key)
        if number is not None and values.get(key) is not True:
            yield words.format(figure(number, unit))
    low, high = device.number("range_low_a"), device.number("range_high_a")
    if low is not None and high is not None:
        yield f"range {figure(low, 'A')} to {figure(high, 'A')}"
    if "class" in values:
        kind = values["class"]
        yield f"class {figure(kind) if isinstance(kind, float) else kind}"
    yield from sorted(device.marks)


def _volts(volts: float | None) -> str:
    return "" if volts is None else figure(volts, "V")


def _of_loads(parts: Sequence[Part]) -> Iterator[str]:
    for part in parts:
        if part.load is None or part.spare:
            continue
        said = [figure(part.load.volts, "V")] if part.load.volts is not None else []
        said += [part.load.kind] if part.load.kind else []
        if part.load.power_w is not None:
            said.append(figure(part.load.power_w, "W"))
        elif part.load.current_a is not None:
            said.append(figure(part.load.current_a, "A"))
        if said:
            yield f"{part.role} {' '.join(said)}" if part.role == "coil" else " ".join(said)


def _of_contacts(parts: Sequence[Part]) -> Iterator[str]:
    for part in parts:
        if part.conducts is not Conducts.CONTACT or part.current_a is None or part.inside:
            continue
        volts = f" at {figure(part.volts, 'V')} {part.kind}".rstrip() if part.volts else ""
        name = part.role.removesuffix("y") + "ies" if part.role.endswith("y") else f"{part.role}s"
        yield f"{name} {figure(part.current_a, 'A')}{volts}"
