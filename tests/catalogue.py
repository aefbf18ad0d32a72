"""What the trade looks for in small panels, entry by entry, and the sample in which it is found.

    python -m tests.catalogue        prints the table

The entries are those that standards, handbooks, training manuals and trade articles name, put
together by family.  An entry that no rule covers says why; those reasons stand in DEVELOPERS.md.
"""

from __future__ import annotations

from dataclasses import dataclass

FOUND = """
shorts
  dead short across a supply | missing load/bridge-across-a-supply
  opposing contactors overlap | missing load in a race/reversing-by-buttons-only
  hot wire bonded to ground in a state | missing load/hot-on-the-grounding-bar
  switch in parallel with a load | missing load/button-across-a-coil
  load too small to be a load | missing load/ammeter-across-the-line
  both ends of a load on one net | load never energised/both-ends-on-one-number
  winding shorted by links | missing load/link-across-a-secondary
  changeover short | missing load/overlapping-selector-positions
  one weld from a short | interlock that one weld defeats/pumps-that-take-turns
open paths
  load never energised | load never energised/float-on-the-wrong-side
  no return | load never energised/lamp-without-a-return
  never goes off | load that nothing switches off/heater-past-its-contactor
  contact of a coil that can never move | relay never pulls in/contactor-of-an-unfed-coil
  seal-in missing | load that runs only while a button is held/no-holding-contact
  seal-in mis-landed | relay that nothing drops out/seal-in-past-the-stop
  buzzer | chattering/horn-relay-through-its-own-contact
  deadlock | contradictory interlock/relays-that-wait-for-one-another
  daisy-chained common is a single point | load run by a lost common/siren-on-a-field-cable
  contact that does nothing | contact that never matters/limit-switch-past-the-interlock
  needs two positions at once | load never energised/selector-in-two-positions-at-once
  live stub or dangling wire | end not connected/wire-left-at-the-strip
voltage
  too much voltage on a device | mismatched voltage/selector-brings-the-line-to-a-relay
  loads in series share the voltage | loads in series/relay-coils-one-after-the-other
  ac coil on dc | mismatched voltage/valve-for-ac-on-dc
  dc coil on ac | mismatched voltage/timer-for-dc-on-ac
  dc polarity reversed | mismatched voltage/lamp-turned-round
  coil starved at pull-in | voltage too low to pull in/contactor-at-the-far-end
  sensor chain eats the voltage | voltage lost in electronic contacts/three-sensors-in-series
  contact voltage too low | contact beyond its rated voltage/relay-contact-between-two-lines
  insulation voltage too low | insulation below the voltage present/cable-for-300-volts-on-480
  lost neutral on shared circuits | unlike loads on a shared neutral/mats-and-a-lamp
  transformer strapped for another line | mismatched voltage/primary-linked-for-480
conductors
  wire too small for its load | undersized conductor/heater-at-a-hundred-percent
  size steps down with no protection | oversized protection/tap-of-twenty-feet
  below minimum size for its job | conductor below minimum size/heater-on-control-wire
  too much drop to the load | voltage drop too large/pump-at-the-pond
  shared neutral carries the sum | undersized conductor/neutral-shared-by-one-leg
  common return smaller than the sum | undersized conductor/common-return-of-the-valves
  terminal limits the wire | wire outside the range of its terminal/thin-wire-in-a-large-block
  aluminium on a copper-only terminal | aluminium in a terminal for copper/breaker-for-copper-only
  two wires in a one-wire terminal | too many wires in a terminal/grounds-on-one-bar-screw
  classes of circuit side by side | unlike circuits in one raceway/class-2-beside-120-volts
protection
  branch with no protection | unprotected branch/heater-tapped-ahead-of-the-breakers
  fuse too big for the wire | oversized protection/next-breaker-in-the-shop
  fuse or breaker in the grounded wire | protection in the grounded conductor/fuse-in-the-neutral
  only one hot pole protected | unprotected branch/breaker-in-one-of-two-lines
  only one hot pole switched | live past the main disconnect/single-pole-main
  supplementary protector for a branch | \
supplementary device in place of a branch device/heater-on-two-little-breakers
  control transformer over-protected | oversized protection/primary-fuse-of-a-control-transformer
  control transformer not protected | unprotected branch/secondary-behind-its-primary-fuse
  ac breaker on dc | protection for the other kind of current/breaker-for-ac-on-a-battery
  dc breaker reversed | polarised breaker fed backwards/breaker-with-its-line-below
  breaker voltage does not suit the system | \
breaker rating does not suit the system/heater-on-a-corner-grounded-delta
  supply too weak to trip its branch | \
fault current too small to trip/supply-too-weak-for-its-fuses
  far-end short will not clear | fault current too small to trip/motor-at-the-pond
  upstream opens before downstream | device ahead may open first/branch-breaker-above-its-main
  motor with no overload | motor without overload/fan-on-a-bare-contactor
  overload that stops nothing | motor without overload/trip-contact-past-the-hand-position
  weakest link below the fault current | \
short circuit rating too small/nameplate-above-a-terminal-block
grounding
  secondary floats, nothing watching | \
floating source that nothing watches/transformer-of-a-contactor
  bonded twice | bonded twice/zero-volts-grounded-at-both-ends
  metal part without bond | missing grounding conductor/door-hung-without-a-strap
  switch in the ground path | switch in a grounding conductor/fuse-ahead-of-a-frame
  ground wire smaller than required | \
undersized grounding conductor/ground-wire-of-the-old-breaker
  24 V minus: bonded, floating or both | \
grounding against what is said/common-zero-volts-of-unlike-supplies
  ground used as a return | return by grounding conductor/valve-returned-through-its-frame
  wrong side grounded | load that one ground fault feeds/float-in-the-return
  bond past the first switch or fuse | bond past a switch or fuse/secondary-bonded-past-its-fuse
control safety
  switching in the return | stop that one ground fault defeats/stop-behind-the-coil
  one ground fault starts or holds a load | \
load that one ground fault feeds/limit-behind-the-contactor
  stop that does not stop everything | stop that does not stop/emergency-stop-of-the-pumps-alone
  path around the stop | stop that does not stop/hand-position-past-the-stop
  stop that works by making | stop that one open wire defeats/emergency-stop-that-closes
  stop read only by the controller | stop that does not stop/stop-read-only-by-a-controller
  releasing the stop restarts | restart when a stop is let go/float-behind-the-stop
  starts as power returns | restart when power returns/vent-on-a-maintained-switch
  two channels that are really one | two channels that are one/one-wire-out-to-the-stop
  cross-channel short not noticed | \
short between channels that nothing notices/emergency-stop-on-two-channels
  final contactor alone and unwatched | \
final contactor that nothing watches/mixer-behind-one-contactor
  feedback loop bridged | feedback that a wire closes/link-left-from-the-trial
  no cross interlock on opposing coils | \
opposing pair without interlock/kept-apart-by-the-selector-alone
  interlock taken from the wrong place | \
opposing pair without interlock/interlock-of-the-control-relays
  two-hot coil held by half voltage | \
coil that one ground fault may hold in/stop-in-one-line-of-two
  disconnect leaves something live | \
live past the main disconnect/light-tapped-ahead
  trip resets into motion | restart when a trip is reset/fan-that-follows-another
  stop on the ac side of a dc supply | \
emergency stop ahead of a supply/stop-in-the-line-of-the-supply
sneak paths
  current backwards through a contact (H) | \
current both ways through a contact/cross-contact-between-two-valves
  two feeds at one load (power dome) | two feeds meet/power-dome
  two returns (ground dome) | two returns meet/ground-dome
  cross of feeds and returns | two feeds meet/combination
  fed through another load | \
load fed through another load/common-return-behind-a-limit-switch
  lamp tells the wrong story | indicator against what it shows/lamp-on-the-selector
  lamp test ties circuits | test button that moves more than lamps/lamp-beside-its-relay
  race at change-over | intent not met in a race/selector-turned-fast
  back-feed through a transformer | back feed/generator-behind-a-transformer
supplies
  24 V supply overloaded | supply overloaded/valves-all-open
  pull-in dip | \
control transformer too small for inrush/large-contactor-on-a-small-transformer
  supplies paralleled with no decoupling | paralleled sources/two-supplies-on-one-strip
  redundant pair on one fuse | redundant supplies on one feed/pair-on-one-breaker
  redundant pair, one too small | supply overloaded/redundant-pair-of-which-one-is-too-small
  ac sources tied together | missing load/contactors-on-opposite-legs
  dc supplies stacked the wrong way | missing load/second-supply-reversed
  common lost between two supplies | load never energised/return-to-the-other-supply
devices
  contact overloaded | contact beyond its rated current/relay-for-a-row-of-valves
  ac rating used on dc | contact for ac on dc/relay-for-lamps-on-48-volts
  coil with no suppression | coil without suppression/valves-of-a-controller
  suppression wired wrong | missing load/diode-turned-round
  inrush beyond the contact | inrush beyond its contact/filament-lamp
  contact too heavy for a whisper | current too small for its contact/power-relay-for-an-input
  contacts paralleled for more current | \
contact beyond its rated current/two-poles-for-twice-the-current
  leakage keeps it on | load held on by leakage/relay-behind-a-solid-state-relay
  load too light for a solid-state switch | \
current too small for its contact/sensor-for-a-small-lamp
  sinking switch on a bonded minus | load that one ground fault feeds/output-that-sinks
  more contacts than the relay has | more contacts than the relay has/third-contact-of-a-relay
  long ac line will not let go | cable that holds its coil in/pond-switch
  hot and neutral swapped | line and neutral swapped/outlet-wired-backwards
  motor beyond its horsepower rating | \
motor too large for its contact/pump-changed-behind-its-disconnect
  filters trip a ground-fault breaker | \
leakage that trips a ground fault device/supply-behind-5-ma
  coil beyond its rating code | coil too large for its contact/large-contactor-on-a-float
drawing
  one number, two nets | number used twice/stop-and-float-both-204
  one net, two numbers | node with two numbers/number-changes-at-a-terminal
  colour disagrees with duty | colour against its duty/red-on-24-volts-dc
  green or white misused | \
reserved colour on another conductor/white-wire-to-the-switch
  name and voltage disagree | voltage other than said/control-wire-on-the-line
  number contradicts contact kind | mark against the kind of contact/stop-button-on-13-14
  rest state not stated | rest state not said/one-float-of-two
  field wire without a terminal | field wire without a terminal/motor-past-its-terminals
  spares not declared | spare not declared/cores-of-a-cable
  spare in use | spare that is in use/second-contact-taken-for-a-lamp
  gap in a terminal strip | gap in a terminal strip/number-left-out
  references between panels do not meet | edges that do not meet/bench-that-expects-nothing
"""

NOT_A_RULE = {
    "reading on an off wire by capacitance": "nobody writes a wire's capacitance",
    "no headroom": "a rule of thumb; a report shows how full each is",
    "misleading label": "words: what a legend promises is not in a text",
    "duplicate tag": "cannot be written: a mistake in the text",
    "contact without coil": "cannot be written: a mistake in the text",
    "coil without contact": "small texts leave contacts out",
    "check could not be made": "no rule of its own: every rule says what it could not check",
    "sinking to sinking": "no rule of its own: the input is never energised",
    "paper older than the panel": "two texts are needed: `netcheck compare`",
}


@dataclass(frozen=True, slots=True)
class Entry:
    family: str
    looked_for: str
    rule: str
    sample: str


def entries() -> list[Entry]:
    """Every entry that a sample shows."""
    found, family = [], ""
    for line in FOUND.strip().splitlines():
        if "|" not in line:
            family = line
            continue
        looked_for, _, where = line.partition("|")
        rule, _, sample = where.strip().partition("/")
        found.append(Entry(family, looked_for.strip(), rule, sample))
    return found


def main() -> None:
    for entry in entries():
        print(f"{entry.family:16}{entry.looked_for:44}{entry.rule}: {entry.sample}")
    for looked_for, why in NOT_A_RULE.items():
        print(f"{'no rule':16}{looked_for:44}{why}")


if __name__ == "__main__":
    main()
