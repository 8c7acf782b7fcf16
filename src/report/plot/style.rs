//! The style sheet of all plots: one style of line and of fill for each role (docs/plots.md has the table).

/// The style sheet: to stand once in a page that has plots; a plot's own file carries it. Dark on a screen that is set to it, light
/// on paper. Greys and one ink: roles differ by line and pattern, so that a grey print can be read.
pub const STYLE: &str = "\
.plot{--paper:#fff;--ink:#1d1d1b;--soft:#55554f;--hair:#e2e1db;--wash:#eeede8;--hatch:#b3b2aa;--mark:#1d3f78;\
display:block;width:100%;max-width:720px;height:auto;\
font-family:system-ui,sans-serif}
@media screen and (prefers-color-scheme:dark){.plot{--paper:#17191c;--ink:#ecebe6;--soft:#b7b6ae;--hair:#2e3135;\
--wash:#24272b;--hatch:#5e6166;--mark:#a9c6f5}}
@media print{.plot{--paper:#fff;--ink:#1d1d1b;--soft:#55554f;--hair:#e2e1db;--wash:#eeede8;--hatch:#b3b2aa;--mark:#1d3f78}}
.plot .paper{fill:var(--paper)}
.plot .frame{fill:none;stroke:var(--soft);stroke-width:1}
.plot .hair{stroke:var(--hair);stroke-width:.8}
.plot .minor{stroke:var(--soft);stroke-width:.8}
.plot .leader{stroke:var(--soft);stroke-width:.8}
.plot .zero{stroke:var(--ink);stroke-width:2}
.plot .line,.plot .edge{fill:none;stroke:var(--soft);stroke-width:1.4;stroke-linejoin:round}
.plot .line.direct{stroke:var(--mark);stroke-width:2.6}
.plot .line.reduced{stroke:var(--mark);stroke-width:2.2;stroke-dasharray:8 4}
.plot .line.other{stroke:var(--soft);stroke-width:1.8;stroke-linecap:round;stroke-dasharray:.1 4}
.plot .line.asked{stroke:var(--mark);stroke-width:1;stroke-dasharray:2 2}
.plot .line.limit{stroke:var(--ink);stroke-width:1.6}
.plot .line.promised{stroke:var(--soft);stroke-width:1}
.plot .line.assumed{stroke:var(--soft);stroke-width:1.3;stroke-dasharray:9 3 2 3}
.plot .line.certain{stroke:var(--ink);stroke-width:1.3;stroke-dasharray:5 3}
.plot .edge.direct{stroke:var(--mark)}
.plot .edge.promised,.plot .edge.assumed{stroke-width:1}
.plot .area{stroke:none}
.plot .area.promised,.plot .area.asked{fill:var(--wash)}
.plot .area.direct{fill:var(--mark)}
.plot .hatch{fill:none;stroke:var(--hatch);stroke-width:1}
.plot .hatch.dense{stroke-width:.7}
.plot .join{stroke:var(--mark);stroke-width:1.4}
.plot .range{stroke:var(--soft);stroke-width:1.4}
.plot .mark{fill:var(--mark);stroke:var(--paper);stroke-width:1}
.plot .hollow{fill:var(--paper);stroke:var(--mark);stroke-width:1.6}
.plot text{font-size:12px;fill:var(--ink);stroke:var(--paper);stroke-width:3.5px;stroke-linejoin:round;paint-order:stroke}
.plot .tick{font-size:11px;fill:var(--soft)}
.plot .strong{font-weight:600}
.plot .head{font-size:15px;font-weight:600}
";
