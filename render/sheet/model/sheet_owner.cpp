// The sheet for the owner of the machine: for the lid of the box. What switches off, which fuse is for what.
#include <algorithm>

#include "checker/bench/hand_over.hpp"
#include "render/sheet/model/sheet_model.hpp"

namespace loomward::sheet {
namespace {

std::string users_text(const Results& results, PartId device) {
    const std::vector<PartId> users = users_behind(results, device);
    std::string text;
    for (std::size_t i = 0; i < std::min<std::size_t>(users.size(), 4); ++i)
        text += (i ? ", " : "") + std::string(results.harness->part(users[i]).name);
    if (users.size() > 4) text += " and " + std::to_string(users.size() - 4) + " more";
    return text;
}

}  // namespace

void suit_owner(const Results& results, SheetModel& model) {
    model.for_owner = true;
    model.withheld = results.count(Severity::error) > 0;
    model.shows_loading = model.shows_currents = model.shows_temperature = false;
    for (Line& line : model.lines) {
        line.flags.clear();
        line.figure.clear();
        line.loading = -1;
    }
    for (Element& element : model.elements) element.flags.clear();
    model.findings.clear();
    const auto list = [&](std::size_t index, std::string text) {
        ListedFinding entry;
        entry.severity = Severity::note;
        entry.mark = model.elements[index].name;
        entry.text = std::move(text);
        entry.element = static_cast<int>(index);
        model.findings.push_back(std::move(entry));
    };
    // A part may stand on the sheet in several pieces: it is listed at the first.
    for (const SwitchOffOrder& order : switching_off(results))
        for (std::size_t i = 0; i < model.elements.size(); ++i)
            if (model.elements[i].part == order.part) {
                list(i, order.order);
                break;
            }
    for (std::size_t i = 0; i < model.elements.size(); ++i) {
        const Element& element = model.elements[i];
        const Kind kind = results.harness->part(element.part).kind;
        if (kind != Kind::fuse && kind != Kind::breaker) continue;
        std::string text = element.rating.empty() ? "rating not known" : element.rating;
        if (!element.label.empty()) text += ", " + element.label;
        if (const std::string users = users_text(results, element.part); !users.empty())
            text += "; for " + users;
        list(i, std::move(text));
    }
}

}  // namespace loomward::sheet
