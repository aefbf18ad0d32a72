"""The look of the live page: how a line stands is told by its pattern and weight before its tint.

A line from a source is solid and heavy, one that leads home has long dashes, one that is live
only through a load is dotted, a dead one is thin.  What is pressed has a heavy edge.
"""

LIVE = """
:root { --out: #8a4a00; --home: #0b5d4e; --through: #6b2f6b; }
#live [hidden] { display: none; }
#live .bar { position: sticky; top: 0; z-index: 2; background: var(--paper); max-height: 45vh;
  overflow-y: auto; border-bottom: 2px solid var(--ink); padding: .4rem 0; }
#live .status { min-height: 1.4em; } #live .alarm { font-weight: bold;
  border-left: 7px double var(--ink); padding-left: .7rem; } #live .alarm:empty { display: none; }
#live button, #live input, #live select { font: .86rem/1.3 'Trebuchet MS', Verdana, sans-serif;
  color: var(--ink); background: var(--paper); border: 1px solid var(--ink); border-radius: 0;
  padding: .26rem .6rem; min-height: 1.75rem; max-width: 100%; }
#live button { cursor: pointer; background: var(--band); touch-action: manipulation; }
#live button[aria-pressed=true] { font-weight: bold; box-shadow: inset 0 -4px 0 var(--ink); }
#live button:disabled { border-style: dotted; color: var(--faint); cursor: default; }
#live .stops button { font-weight: bold; outline: 1px solid var(--ink); outline-offset: 2px; }
#live :is(button, input, select, summary):focus-visible { outline: 3px solid var(--accent);
  outline-offset: 2px; }
#live .control { display: flex; flex-wrap: wrap; align-items: center; gap: .3rem .5rem;
  padding: .25rem 0; border-bottom: 1px solid var(--line); font-size: .88rem; }
#live .stops { display: flex; flex-wrap: wrap; gap: 0 1.6rem; }
#live .stops .control { border: 0; } #live .side .name { flex: 1 1 9rem; }
#live .stands { font-style: italic; }
#live .places .stands { position: absolute; clip-path: inset(50%); width: 1px; height: 1px;
  overflow: hidden; white-space: nowrap; }
#live .places { position: relative; }
#live summary { font: bold .9rem 'Trebuchet MS', Verdana, sans-serif; padding: .3rem 0;
  cursor: pointer; }
#live details.group { border-top: 1px solid var(--ink); padding-bottom: .5rem; }
#live .loads { list-style: none; margin: 0; padding: 0; font-size: .88rem; }
#live .loads li { padding: .15rem 0 .15rem .6rem; border-left: 1px dotted var(--line); }
#live .loads li.on { border-left: 5px solid var(--ink); font-weight: bold; }
#live .reading { display: block; font: 1.05rem/1.4 ui-monospace, 'DejaVu Sans Mono', monospace;
  border: 1px solid var(--ink); padding: .4rem .6rem; }
#live .way { position: relative; max-height: 15rem; overflow-y: auto; font-size: .86rem;
  padding-left: 2.2rem; margin: .4rem 0; } #live .way li.open { font-weight: bold;
  text-decoration: underline; }
#live .way li[aria-current] { border-left: 4px solid var(--ink); padding-left: .4rem; }
#live .legend { list-style: none; padding: 0; display: flex; flex-wrap: wrap; gap: .2rem 1.4rem;
  font-size: .82rem; }
#live .line { display: inline-block; width: 2.6rem; height: .4rem; margin-right: .4rem;
  border-bottom: 1px solid var(--faint); }
#live .line.hot { border-bottom: 4px solid var(--out); }
#live .line.home { border-bottom: 3px dashed var(--home); }
#live .line.through { border-bottom: 3px dotted var(--through); }
#live .shown svg { min-width: 46rem; } #live .larger svg { min-width: 84rem; }
#live .sheet .hot { stroke: var(--out); stroke-width: 3.6; stroke-dasharray: none; }
#live .sheet .home { stroke: var(--home); stroke-width: 2.6; stroke-dasharray: 13 4; }
#live .sheet .through { stroke: var(--through); stroke-width: 2.6; stroke-dasharray: 1.5 4; }
#live .sheet .dead { stroke: var(--faint); stroke-width: .9; stroke-dasharray: none; }
#live .sheet polyline.walked { stroke: var(--ink); stroke-width: 6; }
#live .sheet .dot { cursor: crosshair; } #live .sheet .dot:hover { fill: var(--ink); }
#live .sheet .movable { cursor: pointer; }
#live .sheet .energised :is(path, rect, circle) { stroke-width: 2.8; }
#live .sheet .walked :is(path, rect, circle) { stroke-width: 3; }
#live .sheet path.now { stroke: var(--ink); stroke-width: 2.6; }
#live .bench { display: grid; gap: 0 1.6rem; align-items: start;
  grid-template-columns: repeat(auto-fit, minmax(min(15rem, 100%), 1fr)); }
#live :is(button, input, select, summary, .way) { scroll-margin-top: 9rem; }
#live .buttons { display: flex; flex-wrap: wrap; justify-content: flex-end; gap: .3rem .5rem;
  margin-left: auto; } #live .stops .buttons { margin-left: 0; }
#live .stop { font-weight: bold; margin: .3rem 0; padding: .2rem .7rem; color: var(--paper);
  background: var(--ink); } #live .stop:empty { display: none; }
#live .stopped { border-bottom: 9px double var(--ink); }
@media (min-width: 62rem) { #live .desk { display: grid; gap: 0 1.6rem; align-items: start;
  grid-template: "sheet side" auto "bench side" 1fr / minmax(0, 1fr) minmax(18rem, 24rem); }
  #live .shown { grid-area: sheet; margin: .8rem 0; } #live .bench { grid-area: bench; }
  #live .side { grid-area: side; position: sticky; top: 8rem; max-height: calc(100vh - 9rem);
    overflow-y: auto; padding: 0 .5rem; } }
@media (min-width: 90rem) { #live { width: min(96vw, 120rem);
  margin-left: calc(50% - min(48vw, 60rem)); } }
@media (prefers-color-scheme: dark) { :root { --out: #e0a050; --home: #7fd0bb;
  --through: #d59ad5; } }
@media (forced-colors: active) { :root { --ink: CanvasText; --paper: Canvas; --faint: CanvasText;
  --line: CanvasText; --accent: LinkText; --out: CanvasText; --home: CanvasText;
  --through: CanvasText; } #live button[aria-pressed=true] { border: 4px double; }
  #live button:disabled { color: GrayText; }
  #live .stop { border: 4px double; color: CanvasText; background: Canvas; } }
@media print { #live { display: none; } }
"""
