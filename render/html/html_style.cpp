#include "render/html/html_page.hpp"

namespace loomward {
namespace {

// Red that is a fill has white text on it; red that is text is another one in the dark, where the fill would
// be too dim to read.
constexpr const char* colours =
    R"(:root{--paper:#faf8f3;--sheet:#fff;--ink:#1c2024;--quiet:#535b63;--rule:#cfcabd;--soft:#efebe1;
--bad:#b3261e;--bad-text:#b3261e;--amber:#f2b705;--go:#0f5c8c;--load:#2c6a48}
@media (prefers-color-scheme:dark){:root{--paper:#15181b;--sheet:#1b1f23;--ink:#eceae4;--quiet:#a9b0b6;--rule:#3b4147;
--soft:#22272c;--bad-text:#ff8d80;--go:#7cc0ea;--load:#7fc79d}}
)";

constexpr const char* text = R"(*{box-sizing:border-box}
html{scroll-padding-top:3.4rem;-webkit-text-size-adjust:100%}
body{margin:0;background:var(--paper);color:var(--ink);font:16px/1.45 "DejaVu Sans",system-ui,Arial,sans-serif;
font-variant-numeric:tabular-nums;overflow-wrap:break-word}
main,body>header,body>footer{max-width:1320px;margin:0 auto;padding:0 20px}
body>footer{padding-bottom:40px}
h1{font-size:1.35rem;margin:18px 0 2px;line-height:1.2}
h2{font-size:1.35rem;margin:44px 0 4px;padding-top:12px;border-top:3px solid var(--ink);line-height:1.2}
main>section:first-child>h2{margin-top:10px;border:0;padding:0}
h3{font-size:1.02rem;margin:22px 0 6px}
p{margin:.35em 0;max-width:78ch}
.lead{color:var(--quiet);margin:0 0 12px}
.meta,small{color:var(--quiet);font-size:.85rem}
p.meta{margin:0}
a{color:var(--go)}
a[href^="#w-"]:not([data-row]),a[href^="#p-"]:not([data-row]){color:inherit;font-weight:700;
text-decoration:underline;text-decoration-thickness:1px;text-underline-offset:3px;text-decoration-color:var(--quiet)}
a[href^="#w-"]:hover,a[href^="#p-"]:hover{text-decoration-thickness:2px}
:focus-visible{outline:3px solid var(--go);outline-offset:2px;border-radius:2px}
.skip{position:absolute;left:-999px}
.skip:focus{left:10px;top:10px;background:var(--sheet);padding:8px;z-index:99}
nav.strip{position:sticky;top:0;z-index:20;background:var(--paper);border-bottom:1px solid var(--rule);overflow-x:auto;
white-space:nowrap}
nav.strip ol{list-style:none;margin:0 auto;padding:0 12px;max-width:1320px;display:flex;gap:2px}
nav.strip a{display:inline-block;padding:11px 8px;color:var(--ink);text-decoration:none;font-size:.86rem}
nav.strip a:hover{text-decoration:underline}
button,select,input{font:inherit;color:inherit}
.b{max-width:100%;background:var(--sheet);border:1px solid var(--ink);padding:5px 11px;border-radius:3px;font-size:.86rem;
min-height:34px}
button.b,select.b{cursor:pointer}
button.b:hover{background:var(--soft)}
.nw{white-space:nowrap}
.bad{color:var(--bad-text);font-weight:700}
.only-paper{display:none}
[hidden]{display:none!important}
)";

constexpr const char* boxes =
    R"(.verdict{margin:10px 0 14px;padding:16px 18px 14px;border:2px solid var(--ink);background:var(--sheet)}
.verdict.stop{border-color:var(--bad);border-left-width:14px}
.verdict b.large{display:block;font-size:2.1rem;line-height:1.1;letter-spacing:-.01em}
.verdict.stop b.large{color:var(--bad-text)}
.caution{border:2px solid var(--ink);background:var(--sheet);margin:14px 0;padding:0 16px 8px;max-width:88ch}
.caution.hot{border-color:var(--bad)}
.caution .stripes{display:block;width:calc(100% + 32px);height:8px;margin:0 -16px 8px}
.caution ul{margin:0;padding:0 0 0 1.2em}
.caution li{margin:.3em 0}
.flag{display:inline-flex;align-items:center;justify-content:center;min-width:1.75em;height:1.45em;
padding:0 .62em 0 .32em;font-size:.78rem;font-weight:700;line-height:1;text-decoration:none;
clip-path:polygon(0 0,calc(100% - .42em) 0,100% 50%,calc(100% - .42em) 100%,0 100%);vertical-align:.05em;margin-right:2px}
.flag.error{background:var(--bad);color:#fff}
.flag.warning{background:var(--amber);color:#1c2024}
.flag.note{background:var(--ink);color:var(--paper)}
.flag.accepted{background:none;color:var(--ink);clip-path:none;border:1px dashed var(--ink)}
.flag:hover{text-decoration:underline}
.sw{display:inline-block;width:1.7em;height:.62em;vertical-align:middle;margin-right:5px}
.sw path:first-child{stroke:currentColor;stroke-width:2}
)";

constexpr const char* tables = R"(table{border-collapse:collapse;width:100%;font-size:.86rem}
caption{text-align:left;font-weight:700;padding:6px 0}
.tw{overflow-x:auto;margin:8px 0 6px;border-bottom:1px solid var(--rule)}
th,td{text-align:left;padding:5px 9px;border-bottom:1px solid var(--rule);vertical-align:top}
thead th{background:var(--paper);border-bottom:2px solid var(--ink);font-size:.78rem;vertical-align:bottom}
td.n,th.n{text-align:right;white-space:nowrap}
tbody th{font-weight:400}
tbody tr:hover{background:var(--soft)}
tr.on,tr:target{background:var(--soft);box-shadow:inset 4px 0 0 var(--go)}
tr.over td.of{color:var(--bad-text);font-weight:700}
.tw th:first-child{position:sticky;left:0;background:var(--paper)}
.meter{display:block;width:100%;min-width:90px;height:12px}
)";

constexpr const char* narrow_screens = R"(@media screen and (max-width:760px){body{font-size:15.5px}
main,body>header,body>footer{padding:0 12px}
.verdict b.large{font-size:1.65rem}
nav.strip a{padding:12px 7px}
.b{min-height:42px}
select.b{flex:1 1 100%;min-width:0}}
@media (prefers-reduced-motion:no-preference){html{scroll-behavior:smooth}}
)";

constexpr const char* paper =
    R"(@media print{:root{--paper:#fff;--sheet:#fff;--ink:#000;--quiet:#444;--rule:#999;--soft:#eee;
--bad:#a31c14;--bad-text:#a31c14;--go:#000;--load:#2c6a48}
@page{margin:14mm 12mm 15mm}
body{font-size:9.6pt}
nav.strip,.skip,.only-screen,button{display:none!important}
.only-paper{display:block}
main,body>header,body>footer{max-width:none;padding:0 1px}
h1{font-size:13pt;margin-top:0}h2{font-size:13pt;margin-top:18pt}
h2,h3,.lead,thead{break-after:avoid}
tr,thead,.lead,figure,.caution,.verdict,li{break-inside:avoid}
thead{display:table-header-group}
.tw{overflow:visible}.tw th:first-child{position:static}
table{font-size:8pt}small,.meta{font-size:7.4pt}th,td{padding:2px 5px}
.verdict{padding:8px 12px}
a,a[href^="#w-"]:not([data-row]),a[href^="#p-"]:not([data-row]){text-decoration:none}
tr.over td.of{text-decoration:underline}
tr.on,tr:target{background:none;box-shadow:none}
.flag,.verdict,.sw,.meter,.caution,thead th{print-color-adjust:exact;-webkit-print-color-adjust:exact}}
)";

}  // namespace

std::string page_style() {
    return std::string(colours) + text + boxes + tables + narrow_screens + paper;
}

}  // namespace loomward
