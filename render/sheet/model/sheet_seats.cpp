// Devices that stand on a bar.
#include <utility>
#include <vector>

#include "render/sheet/model/sheet_model.hpp"

namespace loomward::sheet {
namespace {

// A coil would have leads on both sides, and one of them across the bar.
bool may_be_seated(const Element& element) {
    switch (element.symbol) {
        case Symbol::fuse:
        case Symbol::breaker:
        case Symbol::switch_:
        case Symbol::shunt:
        case Symbol::resistor:
        case Symbol::diode:
        case Symbol::capacitor:
            return element.form == Form::symbol;
        default:
            return false;
    }
}

}  // namespace

// A fuse tied to a block stands on its bar; so does a switch or fuse that is bolted by either pin to a stud
// or busbar, which is then drawn as a bar too. The bolt needs no line of its own.
void seat_on_bars(const Harness& harness, const std::vector<End>& place_of, SheetModel& model) {
    const auto element = [&](const End& end) -> Element& {
        return model.elements[static_cast<std::size_t>(end.element)];
    };
    const auto seat = [&](TerminalId a, TerminalId b, bool bolted) {
        for (const auto& [first, second] : {std::pair(a, b), std::pair(b, a)}) {
            const End guest = place_of[first.index()], host = place_of[second.index()];
            if (guest.element < 0 || host.element < 0 || guest.element == host.element) continue;
            Element &seated = element(guest), &bar = element(host);
            const bool fits =
                bolted ? may_be_seated(seated) &&
                             (bar.form == Form::bar || (bar.form == Form::point && bar.symbol == Symbol::dot))
                       : guest.pin == 0 && seated.symbol == Symbol::fuse && bar.form == Form::bar;
            if (!fits || seated.on_bar >= 0) continue;
            seated.on_bar = host.element;
            seated.seat_pin = guest.pin;
            bar.form = Form::bar;
            return;
        }
    };
    for (const Tie& tie : harness.ties) seat(tie.a, tie.b, false);
    for (const Joint& joint : harness.joints) seat(joint.a, joint.b, true);
}

void turn_on_bars(SheetModel& model) {
    std::vector<int> rightward(model.elements.size());  // lines that leave to the right, less the others
    for (const Line& line : model.lines) {
        if (line.dropped || line.touching) continue;
        for (const End& end : {line.left(), line.right()}) {
            const auto index = static_cast<std::size_t>(end.element);
            const Element& element = model.elements[index];
            if (element.on_bar >= 0 && end.pin != element.seat_pin)
                rightward[index] += end.element == line.left().element ? 1 : -1;
        }
    }
    for (std::size_t i = 0; i < model.elements.size(); ++i)
        model.elements[i].left_of_bar = model.elements[i].on_bar >= 0 && rightward[i] < 0;
}

}  // namespace loomward::sheet
