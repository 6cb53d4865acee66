#include "render/bench/bench_page.hpp"

#include <fmt/format.h>

#include "checker/answers/advice.hpp"
#include "render/text/counts.hpp"
#include "render/text/phrases.hpp"
#include "render/text/title_fields.hpp"

namespace loomward {

using namespace literals;

std::string revision_of(const Harness& harness) {
    return title_fields(harness).revision;
}

std::string title_of(const Harness& harness) {
    return harness.title.empty() ? std::string("a harness without a title") : std::string(harness.title);
}

std::vector<Html> paper_meta(const Results& results, const std::string& path, const std::string& version,
                             const std::string& sha256) {
    const Harness& harness = *results.harness;
    const TitleFields fields = title_fields(harness);
    std::string first = title_line(fields);
    if (fields.revision.empty()) first += (first.empty() ? "" : " · ") + std::string("no revision stated");
    first += fmt::format(
        " · {} · {} · {}, {}, {} · {}", paper_file_name(path), counted(harness.wires.size(), "wire"),
        counted(told_errors(results), "error"), counted(results.count(Severity::warning), "warning"),
        counted(results.count(Severity::note), "note"), counted(assumed_values(results), "assumed value"));
    std::string second = fmt::format(
        "made by loomward {} · checked under the stated assumptions, not a licence: see local codes",
        version);
    if (!sha256.empty()) second += " · file " + sha256.substr(0, 16);
    std::vector<Html> lines;
    if (!fields.subtitle.empty()) lines.emplace_back(fields.subtitle);
    lines.emplace_back(first);
    lines.emplace_back(second);
    return lines;
}

Html blanks_html(std::initializer_list<const char*> names) {
    Html fields;
    for (const char* name : names) fields += tag("div", tag("small", name));
    return tag("div", {{"class", "blanks"}}, fields);
}

std::string bench_style() {
    return R"(.blanks{display:grid;grid-template-columns:repeat(4,1fr);gap:8px;margin:12px 0}
.blanks div{border:1px solid var(--ink);padding:2px 6px;min-height:40px;background:var(--sheet)}
.blanks small{font-size:.74rem}
body{font-size:15px}
h2{margin-top:26px;font-size:1.15rem}
h2 .no,.no{font-weight:700}
table.steps td,table.steps th{border:1px solid var(--rule);padding:5px 7px}
table.steps thead th{border-color:var(--ink);background:var(--soft)}
table.steps tbody th{font-weight:700;width:2.8em;text-align:center}
table.steps td.do{min-width:15em}
table.steps td.ex{width:24%;font-weight:700}
table.steps td.ex small{display:block;font-weight:400}
table.steps td.rd{width:16%;min-width:5.5em;border:1.6px solid var(--ink);position:relative}
table.steps td.rd small{position:absolute;right:5px;bottom:2px}
table.steps td.ok{width:8%;border:1.6px solid var(--ink)}
table.rows td.do{min-width:0}
table.rows td,table.rows tbody th{padding:3px 6px}
.pr{display:block;margin-top:2px}
.pr b{white-space:nowrap}
.pr i{font-style:normal;display:inline-block;border:1px solid var(--ink);border-radius:2px;padding:0 4px;font-size:.86em;
margin-right:5px;background:var(--soft)}
.red,.blk{display:inline-block;width:.62em;height:.62em;border-radius:50%;margin-right:3px;border:1px solid currentColor}
.red{background:#c8251c}.blk{background:#111}
.if{display:block;color:var(--quiet);font-size:.9em;margin-top:2px}
.tick{display:inline-block;width:12px;height:12px;border:1.5px solid var(--ink);vertical-align:-2px;margin-right:6px}
ul.t{list-style:none;padding:0;margin:6px 0;columns:2;column-gap:20px}
ul.t li{margin:3px 0;break-inside:avoid}
ol.off{counter-reset:o;list-style:none;margin:8px 0;padding:0}
ol.off li{counter-increment:o;position:relative;padding:9px 0 9px 46px;min-height:46px;border-bottom:1px solid var(--rule);
font-size:1.12rem}
ol.off li:before{content:counter(o);position:absolute;left:0;top:7px;width:30px;height:30px;border:2px solid var(--ink);
border-radius:50%;text-align:center;line-height:26px;font-weight:700}
.lid{border:2px solid var(--ink);padding:8px 10px;margin:10px 0;background:var(--sheet);break-inside:avoid}
.lid .tw th:first-child{background:transparent}
.blankrow td,.blankrow th{height:28px}
.lid .amp{font-size:1.5em;font-weight:700}
.sheetsvg{margin:8px 0;border:1px solid var(--rule);background:#fff;overflow-x:auto}
.sheetsvg svg{width:100%;height:auto;display:block}
.sign{margin-top:24px;border-top:1px solid var(--rule);padding-top:10px}
@media screen and (max-width:760px){.blanks{grid-template-columns:1fr 1fr}
ul.t{columns:1}
table.steps thead{display:none}
table.steps tr{display:grid;grid-template-columns:3.2em 1fr 1fr;border:1px solid var(--ink);margin-bottom:8px}
table.steps td,table.steps tbody th{border:0;width:auto;position:static}
table.steps tbody th{grid-row:1/4}
table.rows tbody th{grid-row:1/6}
table.rows td.rd{grid-column:2/4}
table.steps td.do{grid-column:2/4}
table.steps td.ex{grid-column:2/4;background:var(--soft);width:auto}
table.steps td.rd,table.steps td.ok{border-top:1px solid var(--ink);min-height:46px;width:auto;position:relative}
table.steps td.ok{border-left:1px solid var(--ink)}
.sheetsvg svg{width:330%}}
@media print{@page big{size:landscape;margin:8mm}
body{font-size:9.2pt}
h2{margin-top:14pt;font-size:12pt}
.blanks div{min-height:34px}
.wide{page:big;break-before:page;break-after:page}
#revisions{break-inside:avoid}#drawing>h2{display:none}
.wide h2{margin-top:0}
.sheetsvg{border:0;overflow:visible}
ol.off li{font-size:12pt}
.red,.blk,thead th,.sheetsvg{print-color-adjust:exact;-webkit-print-color-adjust:exact}}
)";
}

}  // namespace loomward
