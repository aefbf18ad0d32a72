"""A small panel whose words try what words can do to a page, a drawing or a spreadsheet."""

SCRIPT = "<script>window.hacked=1</script>"
IMAGE = "<img src=http://203.0.113.9/a.png onerror=window.hacked=2>"
FORMULA = "=HYPERLINK(A1,A2)"
CLOSING = "</title></style></svg></figure><b id=hacked>"
TURNED = "\u05d0\u05d1\u05d2 \u0627\u0628 & 'quoted' \\\\"
LONG = "long " * 8 + "x" * 260

PANEL = f"""\
panel "{SCRIPT}"
  practice NEC 2023
source MAINS "{FORMULA}" 120 V AC 60 Hz, two-wire, 5 kA available, neutral bonded here
breaker CB1 "{CLOSING}" 1-pole, 15 A, 120/240 V AC, 10 kA interrupting
button S1 "{IMAGE}" normally closed 11-12 250 V AC 4 A
button S2 "{TURNED}" normally open 13-14 250 V AC 4 A
contactor K1 "+1+1" coil 120 V AC 10 VA; 1 main poles 600 V AC 25 A; \
auxiliary normally open 13-14 250 V AC 4 A
heater HTR1 "{LONG}" 1 kW 120 V AC
wire kind control: 14 AWG copper MTW 90 degC black, 600 V insulation, 1 m
circuit "{SCRIPT}{LONG}" in control
  MAINS:L --1-- CB1 --2-- S1 --3-- S2 --4-- K1:A1-A2 --N-- MAINS:N
  S1:12 --3-- K1:13-14 --4-- K1:A1
  CB1:2 --2-- K1:1-2 --5-- HTR1:1
  HTR1:2 --N-- MAINS:N
"""
