// What somebody who is about to work on the harness has to open first: on the drawing itself, since it is
// what lies beside the machine.
#include <algorithm>

#include "checker/bench/hand_over.hpp"
#include "render/sheet/model/sheet_model.hpp"

namespace loomward::sheet {
namespace {

// The first `most` of them, and how many there are besides: "U1, U2 and 3 more".
std::string listed(const std::vector<std::string>& names, std::size_t most) {
    std::string text;
    for (std::size_t i = 0; i < std::min(most, names.size()); ++i) text += (i ? ", " : "") + names[i];
    if (names.size() > most) text += " and " + std::to_string(names.size() - most) + " more";
    return text;
}

// A part may stand on the sheet in several pieces: it is looked up at the first.
int first_element(const SheetModel& model, PartId part) {
    for (std::size_t i = 0; i < model.elements.size(); ++i)
        if (model.elements[i].part == part) return static_cast<int>(i);
    return -1;
}

std::vector<std::string> controllers_of(const Harness& harness) {
    std::vector<std::string> names;
    for (const Part& part : harness.parts)
        if (part.kind == Kind::controller) names.emplace_back(part.name);
    return names;
}

// A push opens by itself when it is let go.
bool is_push(const SheetModel& model, int element) {
    return element >= 0 && model.elements[static_cast<std::size_t>(element)].shape.actuator == Actuator::push;
}

// "S1 (key) off"
std::string step_of(const Harness& harness, const SwitchOffOrder& order) {
    const Part& part = harness.part(order.part);
    const std::string name =
        std::string(part.name) + (part.label.empty() ? "" : " (" + std::string(part.label) + ')');
    if (order.in_danger) return "strike " + name;
    return name + (part.kind == Kind::connector ? " apart" : " off");
}

}  // namespace

void tell_before_work(const Results& results, SheetModel& model) {
    const MadeDead dead = made_dead(results);
    if (dead.orders.empty() && dead.stays_live.empty()) return;
    const auto tell = [&](std::string mark, std::string text, int element = -1) {
        ListedFinding entry;
        entry.severity = Severity::note;
        entry.mark = std::move(mark);
        entry.text = std::move(text);
        entry.element = element;
        model.before_work.push_back(std::move(entry));
    };
    const std::vector<std::string> controllers = controllers_of(*results.harness);
    model.before_work_on = listed(controllers, 3);
    // What has to be done before the steps stands before them.
    for (const std::string& caution : dead.cautions) tell("!", caution);
    int steps = 0;
    for (const SwitchOffOrder& order : dead.orders)
        if (const int element = first_element(model, order.part); !is_push(model, element))
            tell(std::to_string(++steps) + '.', step_of(*results.harness, order), element);
    const bool none = steps == 0;
    // What is worked on comes first: it is not dead only because the way to it is open on one side.
    std::vector<std::string> live = dead.stays_live;
    std::stable_partition(live.begin(), live.end(), [&](const std::string& name) {
        return std::find(controllers.begin(), controllers.end(), name) != controllers.end();
    });
    tell("live", (none ? "nothing here switches it off; on a pole: " : "even then, on one pole: ") +
                     listed(live, 8) + ". Capacitors stay charged: measure first");
}

}  // namespace loomward::sheet
