#include "render/bench/hand_over_html.hpp"

#include <fmt/format.h>

#include "render/bench/bench_page.hpp"
#include "render/html/html_drawing.hpp"
#include "render/html/html_parts.hpp"
#include "render/sheet.hpp"
#include "render/text/title_fields.hpp"

namespace loomward {
namespace {

std::string list_text(const std::vector<std::string>& names, std::size_t most) {
    std::string text;
    for (std::size_t i = 0; i < names.size() && i < most; ++i) text += (text.empty() ? "" : ", ") + names[i];
    if (names.size() > most) text += fmt::format(" and {} more parts and wires", names.size() - most);
    return text;
}

Html switching_off(const HandOver& made) {
    Html body;
    for (const std::string& caution : made.cautions) body += caution_html(tag("p", tag("b", caution)), true);
    Html orders;
    for (const SwitchOffOrder& each : made.orders)
        orders += tag("li", tag("b", each.order) + " " + Html(each.then));
    if (made.orders.empty())
        orders +=
            tag("li",
                "Nothing in the file switches it off: take the leads of the pack off, by somebody who may.");
    orders += tag("li", tag("b", "Still on the plus of a pack with all of that done: ") +
                            Html(list_text(made.stays_live, 14)) + ". Do not open what covers them.");
    body += tag("ol", {{"class", "off"}}, orders);
    Html cautions;
    for (const char* sentence :
         {"Smoke, smell or hissing from where the pack is: walk away, keep others away, call the fire "
          "brigade and say "
          "what kind of battery it is: ______________.",
          "A fuse that blew once: the same kind, the same amps, the same volts. If it blows again, do not "
          "use the "
          "machine; have it looked at.",
          "Never a larger fuse, never foil or wire. A fuse for a car may go on burning on a higher voltage.",
          "Charge with the charger named below only, under the conditions its maker and the pack's maker "
          "give.",
          "Changes to the wiring make this sheet void."})
        cautions += tag("li", sentence);
    return body + caution_html(tag("ul", cautions));
}

Html lid_html(const LidTable& table, const std::string& machine) {
    HtmlTable made;
    made.label = table.title;
    made.caption = Html(table.title) + " " + tag("small", machine);
    if (table.block) made.columns.push_back({"way", false});
    for (const char* head : {"fuse", "for", "kind"}) made.columns.push_back({head, false});
    made.columns.push_back({"A", true});
    made.columns.push_back({"at least, V dc", false});
    made.columns.push_back({"breaks at least", false});
    for (const LidFuse& fuse : table.rows) {
        std::vector<Html> cells;
        if (table.block) cells.emplace_back(fuse.way);
        if (fuse.name.empty()) {
            cells.emplace_back(tag("small", "empty"));
            for (int i = 0; i < 5; ++i) cells.emplace_back();
        } else {
            cells.emplace_back(tag("b", fuse.name));
            cells.emplace_back(fuse.label);
            cells.emplace_back(fuse.type);
            cells.emplace_back(tag("span", {{"class", "amp"}}, fuse.amps));
            cells.emplace_back(fuse.volts);
            cells.emplace_back(fuse.breaks);
        }
        made.rows.push_back({std::move(cells)});
    }
    return tag("div", {{"class", "lid"}}, table_html(made));
}

Html about_html(const HandOver& made, const Results& results) {
    HtmlTable table;
    table.label = "what it is";
    table.columns = {{"", false}, {"", false}};
    for (const auto& [name, text] : made.about) table.rows.push_back({{Html(name), Html(on_paper(text))}});
    table.rows.push_back(
        {{Html("Looked at"),
          Html(fmt::format(
              "{} wires; {} warnings, {} notes. Checked under the stated assumptions, not a licence: see "
              "local codes. Measured at the first power-up: ____________ by: ____________",
              results.harness->wires.size(), results.count(Severity::warning),
              results.count(Severity::note)))}});
    Html body = table_html(table);
    if (!made.accepted.empty()) {
        Html items;
        for (const std::string& each : made.accepted) items += tag("li", on_paper(each));
        body += tag("h3", "Found, and accepted by who built it") + tag("ul", items);
    }
    return body;
}

Html revisions_html(const Results& results) {
    HtmlTable table;
    table.label = "revisions";
    table.columns = {{"revision", false}, {"date", false}, {"what changed", false}, {"by", false}};
    const TitleFields fields = title_fields(*results.harness);
    table.rows.push_back({{Html(fields.revision.empty() ? "not stated" : fields.revision), Html(fields.date),
                           Html("as drawn here"), Html(fields.drawn_by)}});
    for (int i = 0; i < 3; ++i) table.rows.push_back({{Html(" "), Html(), Html(), Html()}, {}, "blankrow"});
    return table_html(table);
}

HtmlSection drawing(const Results& results) {
    SheetOptions options;
    options.findings = false;
    options.loading = false;
    const std::vector<std::string> pages =
        sheet_pages(results, options, [](int page, int) { return fmt::format("s{}", page); });
    PageDrawings drawings;
    Html body;
    for (std::size_t i = 0; i < pages.size(); ++i)
        body += tag("div",
                    {{"class", "sheetsvg wide"},
                     {"tabindex", "0"},
                     {"role", "region"},
                     {"aria-label", fmt::format("sheet {} of {}", i + 1, pages.size())}},
                    drawings.add(pages[i], fmt::format("s{}-", i + 1)));
    return {"drawing", "The drawing", "Drawing", body, drawings.style()};
}

}  // namespace

std::string hand_over_html(const HandOver& made, const Results& results, const std::string& path,
                           const std::string& version, const std::string& sha256) {
    HtmlPage page;
    const std::string title = title_of(*results.harness);
    const std::string revision = revision_of(*results.harness);
    page.title = title;
    page.meta = paper_meta(results, path, version, sha256);
    page.meta.emplace_back("Keep with the machine. Built by ________________ date ____________");
    page.narrow = true;
    page.style = bench_style();
    page.footer = title + (revision.empty() ? "" : ", revision " + revision);
    const std::string machine = page.footer;
    Html lids = tag("p", {{"class", "lead"}}, "Cut out, cover with clear film.");
    for (const LidTable& table : made.lids) lids += lid_html(table, machine);
    page.sections = {{"off", "Switching off", "Off", switching_off(made)},
                     {"about", "What it is", "About", about_html(made, results)},
                     {"fuses", "Fuses: for the lid of the box", "Fuses", lids},
                     {"revisions", "Revisions", "Revisions", revisions_html(results)},
                     drawing(results)};
    return html_document(page);
}

}  // namespace loomward
