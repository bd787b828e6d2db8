//! Looks of the page: ink on paper, one column, tables that fold into cards on a narrow screen.

/// Style sheet. Free of `<` and `&`, so that it is the same text to an XML reader.
pub(super) const STYLE: &str = "
:root { color-scheme: light; }
* { box-sizing: border-box; }
body { margin: 0 auto; max-width: 62rem; padding: 0 1rem 3rem; font: 1rem/1.45 system-ui, sans-serif; color: #1b1f24;
  background: #fff; overflow-wrap: break-word; }
h1, dd, li, p { overflow-wrap: anywhere; }
h1 { font-size: 1.7rem; line-height: 1.2; margin: 1.2rem 0 .4rem; unicode-bidi: plaintext; }
h2 { font-size: 1.25rem; margin: 0 0 .6rem; border-bottom: 2px solid #1b1f24; padding-bottom: .2rem; }
h3 { font-size: 1.05rem; margin: 1rem 0 .4rem; }
p { margin: .4rem 0; max-width: 46rem; }
p.strong { font-weight: 600; }
td, dd, dt, li, label { unicode-bidi: plaintext; }
.band { position: sticky; top: 0; z-index: 1; margin: 0 -1rem; padding: .5rem 1rem; color: #fff; background: #9b1c2e; font-weight: 700;
  letter-spacing: .02em; }
.band p { margin: 0; max-width: none; }
section { margin: 2rem 0; }
section.apart { border: 2px dashed #6b4a00; padding: .8rem; background: #fff9ec; }
section.apart h2 { border-color: #6b4a00; color: #5a3d00; }
nav ol { columns: 2 16rem; padding-left: 1.6rem; margin: 1rem 0; }
nav a { display: inline-block; padding: .15rem 0; color: #0b4a8f; }
dl { margin: 0; display: grid; grid-template-columns: repeat(auto-fill, minmax(13.5rem, 1fr)); gap: .1rem 1.5rem; }
dl div { padding: .3rem 0; border-bottom: 1px solid #c9ced6; }
dt { font-size: .85rem; color: #47505c; }
dd { margin: 0; font-weight: 600; font-variant-numeric: tabular-nums; }
table { width: 100%; border-collapse: collapse; margin: .6rem 0 1.2rem; font-size: .9rem; font-variant-numeric: tabular-nums; }
caption { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
th { text-align: left; background: #e9ecf0; padding: .35rem .5rem; vertical-align: bottom; }
td { padding: .35rem .5rem; vertical-align: top; border-bottom: 1px solid #c9ced6; }
td.words { overflow-wrap: break-word; }
td.whole { white-space: nowrap; }
table.files td { overflow-wrap: anywhere; }
table.files td:nth-child(3) { white-space: nowrap; }
table.files td:last-child { min-width: 16rem; font: .75rem/1.3 ui-monospace, monospace; }
figure { margin: .8rem 0 1.2rem; }
figure svg { display: block; width: 100%; height: auto; max-height: 46rem; border: 1px solid #c9ced6; background: #fff; }
figure svg text { font-family: system-ui, sans-serif; }
figcaption { font-size: .85rem; color: #47505c; }
ol.steps { list-style: none; padding: 0; counter-reset: step; }
ol.steps li { display: flex; flex-wrap: wrap; gap: .3rem .6rem; align-items: flex-start; padding: .5rem 0;
  border-bottom: 1px solid #c9ced6; break-inside: avoid; }
ol.steps li::before { counter-increment: step; content: counter(step); min-width: 1.8rem; font-weight: 600; text-align: right; }
ol.steps input[type=checkbox] { width: 1.5rem; height: 1.5rem; margin: 0; flex: none; }
ol.steps label { flex: 1 1 18rem; }
input[type=text] { font: inherit; border: 0; border-bottom: 1px solid #47505c; padding: .3rem .2rem; min-height: 2rem;
  background: transparent; width: 100%; border-radius: 0; }
input::placeholder { color: #5c6570; opacity: 1; font-size: .8rem; }
.by { flex: 0 1 11rem; }
ul.blanks, ul.photos, ul.signatures { list-style: none; padding: 0; }
ul.blanks li { display: grid; grid-template-columns: 3fr 2fr 2fr 11rem; gap: .3rem .8rem; align-items: end; padding: .5rem 0;
  border-bottom: 1px solid #c9ced6; break-inside: avoid; }
.wanted { font-size: .85rem; color: #47505c; }
ul.photos { display: grid; grid-template-columns: repeat(auto-fill, minmax(17rem, 1fr)); gap: 1rem; }
ul.photos li { font-size: .85rem; break-inside: avoid; }
ul.photos li::before { content: ''; display: block; aspect-ratio: 3 / 2; border: 1px solid #47505c; margin-bottom: .2rem; }
ul.signatures li { display: grid; grid-template-columns: 6rem 3fr 4fr 2fr; gap: .8rem; align-items: end; padding: .9rem 0 0;
  break-inside: avoid; }
footer { margin-top: 2rem; font-size: .8rem; color: #47505c; }
@media (max-width: 44rem) {
  thead { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
  table, tbody, tr, td { display: block; width: 100%; }
  tr { border: 1px solid #c9ced6; border-radius: 4px; margin: .5rem 0; padding: .3rem .5rem; }
  td { border: 0; padding: .15rem 0; }
  td { overflow-wrap: anywhere; }
  td.whole { white-space: normal; }
  td:empty { display: none; }
  table.pairs tr { border: 0; border-bottom: 1px solid #c9ced6; border-radius: 0; margin: 0; }
  table.pairs td::before { content: none; }
  table.pairs td:first-child { font-size: .85rem; color: #47505c; }
  td::before { content: attr(data-head); display: block; font-size: .75rem; color: #47505c; }
  ul.blanks li, ul.signatures li { grid-template-columns: 1fr; }
  .by { flex: 1 1 100%; }
}
@page { margin: 14mm; }
@media print {
  body { max-width: none; padding: 0; font-size: 9.5pt; }
  nav { display: none; }
  .band { position: static; border: 2px solid #9b1c2e; color: #9b1c2e; background: none; }
  section { margin: 1rem 0; }
  h2, h3, h2 + p { break-after: avoid; }
  tr, figure, dl div, table.short { break-inside: avoid; }
  thead { display: table-header-group; break-inside: avoid; break-after: avoid; }
  tbody tr:first-child, figcaption { break-before: avoid; }
  figure svg { max-height: 150mm; }
  table.files td:first-child { min-width: 13rem; }
  table.files td:last-child { min-width: 15rem; font-size: 6.5pt; }
  input::placeholder { color: transparent; }
  a { color: inherit; text-decoration: none; }
}
";
