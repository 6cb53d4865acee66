#include "render/papers/report_parts.hpp"

namespace loomward {
namespace {

constexpr const char* first =
    R"(.stops{display:flex;flex-wrap:wrap;list-style:none;margin:14px 0 2px;padding:0}
.stops li{flex:1 1 150px;border-top:5px solid var(--rule);padding:7px 10px 2px 0;font-size:.88rem}
.stops li.bad{border-color:var(--bad);color:inherit;font-weight:400}
.stops b{display:block}
.stops .bad b{color:var(--bad-text)}
.ladder{list-style:none;margin:16px 0 0;padding:0}
.ladder>li{position:relative;padding:0 0 18px 54px}
.ladder>li:before{content:"";position:absolute;left:19px;top:34px;bottom:-6px;width:4px;background:var(--rule)}
.ladder>li:last-child:before{display:none}
.rung{display:flex;flex-wrap:wrap;align-items:baseline;gap:4px 12px;min-height:42px;padding-top:8px}
.rung h3{margin:0;font-size:1.12rem}
.knob{position:absolute;left:0;top:2px;width:42px;height:42px;border:3px solid var(--ink);border-radius:50%;
background:var(--sheet);display:flex;align-items:center;justify-content:center;font-weight:700;font-size:1.05rem}
.barred>.rung .knob{border-color:var(--bad);color:#fff;background:var(--bad)}
.say{color:var(--bad-text);font-weight:700}
.say.no{color:var(--quiet);font-weight:400}
.causes{list-style:none;margin:4px 0 0;padding:0;display:grid;gap:8px}
.cause{background:var(--sheet);border:1px solid var(--rule);padding:10px 12px;display:grid;
grid-template-columns:2.2em minmax(0,1fr) minmax(0,32%);column-gap:12px}
.cause .n{white-space:nowrap;font-weight:700;font-size:1.25rem;line-height:1.25;color:var(--bad-text)}
.cause .n.mild{color:var(--quiet)}
.cause h4{margin:0;font-size:1rem;line-height:1.3}
.cause p{margin:.2em 0 0}
.cause .why{color:var(--quiet);font-size:.93rem}
.cause .do{border-left:3px solid var(--ink);padding-left:12px;font-size:.94rem}
.cause .do p{margin:0 0 .3em}
.cause .t{display:block;color:var(--quiet);font-size:.78rem}
.cause .foot{margin-top:.45em;font-size:.83rem;color:var(--quiet);display:flex;flex-wrap:wrap;gap:4px 8px;align-items:center}
button.lk{background:none;border:0;border-bottom:1px solid var(--go);color:var(--go);padding:0;cursor:pointer;font-size:.83rem}
footer code{font-size:.72rem;overflow-wrap:anywhere}
.tools{margin:0}
@media screen and (min-width:761px){body>header{position:relative}.tools{position:absolute;top:0;right:20px}
body>header h1{margin-right:7rem}}
pre{background:var(--sheet);border:1px solid var(--rule);padding:10px 12px;overflow-x:auto;font-size:.82rem}
)";

constexpr const char* sheet_boxes =
    R"(.bar{display:flex;flex-wrap:wrap;gap:8px;align-items:center;margin:8px 0}
.bar label{font-size:.86rem}
.sheetbox{border:1px solid var(--ink);background:var(--sheet);overflow:auto;max-height:86vh;overscroll-behavior:contain;
margin:0 0 10px}
.sheetbox svg{display:block;width:var(--zoom,100%);height:auto;max-width:none}
.sheetbox [data-wire],.sheetbox [data-part]{cursor:pointer}
.sheetbox.sel svg>*,.sheetbox.sel svg>g>*{opacity:.16}
.sheetbox.sel svg>g{opacity:1}
.sheetbox.sel svg .lit,.sheetbox.sel svg .lit *{opacity:1}
.sheetbox.sel svg .core{filter:drop-shadow(0 0 .8px var(--go)) drop-shadow(0 0 .5px var(--go))}
.slip{position:fixed;right:18px;bottom:18px;width:390px;max-height:72vh;overflow:auto;background:var(--sheet);
border:2px solid var(--ink);padding:12px 14px;z-index:30;box-shadow:0 4px 18px #0004}
.slip h3{margin:0 40px 4px 0;font-size:1.1rem}
.slip .x{position:absolute;right:8px;top:8px;min-width:34px;padding:2px}
.slip dl{display:grid;grid-template-columns:7.2em 1fr;gap:3px 8px;margin:8px 0;font-size:.88rem}
.slip dt,.finding dt{color:var(--quiet)}
.slip dd,.finding dd{margin:0;overflow-wrap:anywhere}
.said{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%);margin:0}
)";

constexpr const char* rest =
    R"(.finding{border-top:1px solid var(--rule);padding:12px 0;display:grid;grid-template-columns:3.2em 1fr;gap:0 8px}
.finding h3{margin:0}
.finding .beside{font-weight:700}
.finding dl{display:grid;grid-template-columns:5.2em 1fr;gap:1px 8px;margin:.4em 0 0;font-size:.86rem;align-content:start}
@media print,(min-width:1000px){.fb{display:grid;grid-template-columns:minmax(0,44%) minmax(0,1fr);gap:0 26px}}
.charts{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,520px),1fr));gap:18px}
figure{margin:0;background:var(--sheet);border:1px solid var(--rule);padding:10px 12px}
figcaption{font-size:.9rem;margin-bottom:6px}
.chart{width:100%;height:auto;display:block;font-size:11.5px;fill:none;stroke:var(--ink)}
.c-grid{stroke:var(--rule);stroke-width:.6}
.c-axis{stroke-width:1.2}
.c-mark{stroke:none;fill:var(--quiet)}
.c-band{fill:var(--soft);stroke:none}
.c-edge{stroke-width:1.4}
.c-burn{stroke:var(--bad-text);stroke-dasharray:5 3;stroke-width:1.4}
.c-burns{stroke:var(--bad-text);stroke-width:2.8}
.c-burn-name{stroke:none;fill:var(--bad-text)}
.c-burns-name{stroke:none;fill:var(--bad-text);font-weight:700}
.c-load{stroke:var(--load);stroke-width:3.4}
.c-load-name{stroke:none;fill:var(--load);font-weight:700}
.c-strange{stroke:var(--bad-text);stroke-width:1.8}
.c-limit{stroke:var(--load);stroke-width:1.4;stroke-dasharray:6 3}
figure.run{max-width:660px;margin:10px 0}
.c-dots{stroke-dasharray:1.5 3}
.c-bracket{stroke-width:1.8}
.meter .full{fill:var(--paper);stroke:var(--ink);stroke-width:2;vector-effect:non-scaling-stroke}
.meter .part{fill:var(--quiet)}
.meter.over .part{fill:var(--bad)}
.cols{columns:2;column-gap:36px}
#wirelist td:nth-child(n+4):nth-child(-n+6){white-space:nowrap}
@media screen and (max-width:760px){.stops{display:block}
.stops li{border-top:0;border-left:5px solid var(--rule);padding:3px 0 3px 10px}
.cause{grid-template-columns:1.8em 1fr}
.cause .do{grid-column:2;border-left:0;border-top:2px solid var(--ink);padding:6px 0 0;margin-top:8px}
.ladder>li{padding-left:0}.ladder>li:before{display:none}.rung{padding-left:54px}
.has-slip .sheetbox{max-height:calc(54vh - 70px)}
.slip{left:0;right:0;bottom:0;width:auto;max-height:44vh;border-width:2px 0 0}
.tools{display:none}.cols{columns:1}.sheetbox{max-height:62vh}
.finding{grid-template-columns:2.6em 1fr}.finding dl{grid-template-columns:4.4em 1fr}}
@media print{@page big{size:landscape;margin:8mm}
.slip,.bar,.tools,.said{display:none!important}
.cause,.finding,.rung{break-inside:avoid}.rung{break-after:avoid}
.sheetpage{page:big;break-before:page;break-after:page}
.sheetbox{border:0;max-height:none;overflow:visible}
.sheetbox svg{width:100%!important;max-height:176mm}
.sheetbox.sel svg *{opacity:1!important;filter:none!important}
#sheet>h2{display:none}
.cause{grid-template-columns:1.8em minmax(0,1fr) minmax(0,36%);padding:5px 8px}.causes{gap:4px}
.ladder>li{padding-bottom:8px;break-inside:auto}.knob{width:30px;height:30px;left:5px}
.finding{padding:6px 0}.finding dl{font-size:7.6pt}.finding p{margin:.15em 0}
.lead{font-size:8.6pt}.stops li{flex:1 1 20%}
.charts{grid-template-columns:1fr 1fr;gap:10px}
.knob,.meter,.sheetbox,.chart{print-color-adjust:exact;-webkit-print-color-adjust:exact}}
)";

}  // namespace

std::string report_style() {
    return std::string(first) + sheet_boxes + rest;
}

}  // namespace loomward
