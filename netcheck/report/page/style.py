"""The look of the page: ink on paper, one accent, wide margins; no font or picture is fetched.

Severity is told by a word and by the weight and pattern of a bar, so that it survives a
copier.
"""

SHEET = """
:root { color-scheme: light dark; --ink: #14241f; --paper: #fbfaf5; --faint: #5b6b64;
  --line: #b9c2bb; --band: #eef0e6; --accent: #0b5d4e; --ground: #d9d9d0; }
@media (prefers-color-scheme: dark) { :root { --ink: #e6ebe4; --paper: #141a17;
  --faint: #9fb0a7; --line: #46534c; --band: #1e2722; --accent: #7fd0bb; --ground: #3b4640; } }
* { box-sizing: border-box; }
html { background: var(--paper); color: var(--ink); }
body { margin: 0 auto; max-width: 84rem; padding: 1.2rem clamp(.8rem, 3vw, 2.6rem) 4rem;
  font: 15px/1.45 Georgia, 'Times New Roman', serif; overflow-wrap: anywhere; }
h1, h2, h3, th, nav, .tag, .word, dt { font-family: 'Trebuchet MS', Verdana, sans-serif; }
h1 { font-size: 1.9rem; margin: 0 0 .2rem; line-height: 1.15; }
h2 { font-size: 1.25rem; margin: 2.6rem 0 .6rem; padding-top: .5rem;
  border-top: 3px solid var(--accent); }
h3 { font-size: 1rem; margin: .1rem 0 .3rem; }
p { margin: .3rem 0; max-width: 62rem; }
a { color: var(--accent); }
a:focus-visible, summary:focus-visible, [tabindex]:focus-visible { outline: 3px solid var(--accent);
  outline-offset: 2px; }
.skip { position: absolute; left: -99rem; } .skip:focus { position: static; }
code, dd, .name { unicode-bidi: isolate; }
code, .m { font: .92em/1.3 ui-monospace, 'DejaVu Sans Mono', Consolas, monospace; }
.faint { color: var(--faint); }
.caution { border: 2px solid var(--ink); padding: .6rem 1rem; margin: 1.2rem 0;
  font-weight: bold; max-width: 62rem; }
nav ol { columns: 17rem; margin: .4rem 0; padding-left: 1.6rem; font-size: .86rem; }
nav a { display: inline-block; padding: .16rem 0; }
dl.facts { display: grid; grid-template-columns: max-content 1fr; gap: .15rem 1.1rem;
  margin: .8rem 0; }
dl.facts dt { color: var(--faint); font-size: .86rem; } dl.facts dd { margin: 0; }
.wide { overflow-x: auto; }
table { border-collapse: collapse; width: 100%; font-size: .82rem; line-height: 1.32; }
caption { text-align: left; color: var(--faint); font-size: .86rem; padding: 0 0 .4rem; }
th, td { text-align: left; vertical-align: top; padding: .26rem .55rem .26rem 0;
  border-bottom: 1px solid var(--line); }
th { border-bottom: 2px solid var(--ink); font-size: .76rem; }
tbody tr:nth-child(5n) td { border-bottom-color: var(--ink); }
td.one { white-space: nowrap; } td.words, th { overflow-wrap: normal; }
td.cut, th.cut { overflow-wrap: anywhere; }
th.group { border-bottom: 1px solid var(--ink); padding-top: .7rem; font-size: .82rem; }
th.group p { font-weight: normal; display: inline; } th.group p::before { content: ' / '; }
td.n { text-align: right; font-variant-numeric: tabular-nums; }
td.pen { min-width: 3.6rem; } td.pen::before { content: ''; display: inline-block;
  width: .85rem; height: .85rem; border: 1.4px solid var(--ink); }
td.sign { min-width: 6.5rem; border-bottom: 1.4px solid var(--ink); }
td p { margin: 0 0 .15rem; }
.finding { margin: 0 0 1.1rem; padding: .3rem 0 .2rem 1rem; border-left: 7px solid var(--ink); }
.finding.defect { border-left: 7px double var(--ink); }
.finding.query, .finding.open { border-left: 3px dashed var(--ink); }
.finding dl { margin: .3rem 0; display: grid; grid-template-columns: 6rem 1fr; gap: .1rem .8rem;
  font-size: .9rem; }
.finding dt { color: var(--faint); } .finding dd { margin: 0; }
.bars svg { width: 100%; max-width: 48rem; height: auto; }
.chart text { font-family: 'DejaVu Sans Mono', Menlo, ui-monospace, monospace; fill: var(--ink); }
.chart rect { fill: var(--paper); stroke: var(--ink); }
.chart path { stroke: var(--ink); stroke-width: .8; }
.chart .limit { stroke-width: 3; }
.piece { margin: .4rem 0; } .piece svg { width: 100%; min-width: 48rem; display: block; }
.word { font-weight: bold; text-transform: uppercase; letter-spacing: .05em; font-size: .82rem; }
mark { background: none; color: inherit; border-bottom: 2px solid var(--ink); font-weight: bold; }
.symbols { display: grid; gap: .2rem 1.2rem; list-style: none; padding: 0; font-size: .82rem;
  grid-template-columns: repeat(auto-fill, minmax(min(17rem, 100%), 1fr)); }
.symbols li { display: flex; align-items: center; gap: .6rem; }
.symbols small { color: var(--faint); }
.symbol { flex: none; }
.key { list-style: none; padding: 0; columns: 26rem; font-size: .82rem; }
.signed { display: grid; grid-template-columns: repeat(auto-fit, minmax(12rem, 1fr));
  gap: 1.6rem; margin: 2rem 0 0; } .signed span { border-top: 1px solid var(--ink);
  padding-top: .2rem; font-size: .8rem; color: var(--faint); }
figure { margin: 1rem 0 1.6rem; } figcaption { font-size: .86rem; color: var(--faint); }
figure svg { width: 100%; min-width: 56rem; height: auto; display: block;
  border: 1px solid var(--line); }
@media (max-width: 34rem) { body { font-size: 14px; } h1 { font-size: 1.4rem; }
  .finding dl, dl.facts { grid-template-columns: 1fr; } }
.of-form { display: none; }
@media screen { .far { content-visibility: auto; min-height: 20rem; } }
@page { margin: 13mm 12mm 14mm;
  @bottom-right { content: counter(page) " of " counter(pages); font: 8pt Verdana, sans-serif; } }
@page drawing { size: landscape; margin: 8mm; }
@media print { :root { --ink: #000; --paper: #fff; --faint: #444; --line: #aaa; --band: #fff;
  --accent: #000; --ground: #d9d9d9; } body { max-width: none; padding: 0; font-size: 9.5pt; }
  nav { margin-top: 3mm; } nav ol { columns: 3; font-size: 8pt; margin: 0; }
  h1 { font-size: 19pt; } dl.facts { font-size: 8.5pt; gap: 0 4mm; margin: 1mm 0; }
  dl.facts dt { font-size: 8.5pt; } header .caution { margin: 3mm 0; }
  nav a { padding: 0; }
  details:not([open]) { display: none; } .wide { overflow: visible; }
  h2 { margin-top: 6mm; padding-top: 2mm; }
  nav li:has(a[href='#live']) { display: none; } tr:has(> .group) { break-after: avoid; }
  section > .faint, .of-form { break-after: avoid; }
  .symbols { grid-template-columns: repeat(3, 1fr); gap: 0 4mm; font-size: 8pt;
    line-height: 1.1; }
  .symbols small { font-size: 8pt; } .symbol { width: 10mm; height: 8.5mm; }
  .by-2 { columns: 2; } .by-3 { columns: 3; } .by-2, .by-3 { column-gap: 6mm; }
  table { font-size: 8pt; line-height: 1.2; } th { font-size: 8pt; }
  th, td { padding: 1pt 5pt .8pt 0; } .faint { font-size: 8.5pt; } .kept { break-inside: avoid; }
  td.sign { height: 5mm; min-width: 5rem; } td.pen::before { width: 6.5pt; height: 6.5pt;
  vertical-align: -1pt; border-width: .8pt; } td.pen { min-width: 2rem; }
  th.group { padding-top: 6pt; font-size: 8pt; break-after: avoid; }
  #sheet-calculations td:last-child { width: 46%; }
  .key { columns: 2; font-size: 8pt; } .form { break-before: page; }
  .short { break-before: auto; break-inside: avoid; } footer .caution { margin: 3mm 0 0; }
  footer .signed { margin-top: 7mm; } .of-form { display: grid; margin: 5mm 0 3mm; }
  thead { display: table-header-group; } tr, .finding, .signed { break-inside: avoid; }
  h2, h3 { break-after: avoid; } a { color: inherit; text-decoration: none; }
  figure { page: drawing; break-before: page; break-after: page; break-inside: avoid; margin: 0; }
  .piece svg { min-width: 0; }
  figure svg { min-width: 0; max-height: 190mm; border: 0; } }
"""
