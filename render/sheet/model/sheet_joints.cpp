// Parts bolted to each other. A joint has no length, so it is no line: one of the two parts, the host, stands
// as it would alone; the other, its guest, touches it. A guest has no guests of its own, and one host.
#include <algorithm>
#include <cmath>

#include "render/sheet/model/sheet_joints.hpp"

namespace loomward::sheet {
namespace {

// What hangs on each element, besides its joints.
struct Load {
    double area_mm2 = 0;
    int lines = 0;
};

class Attacher {
  public:
    explicit Attacher(SheetModel& model) : model_(model), load_(model.elements.size()), hosts_(load_.size()) {
        for (const Line& line : model.lines) {
            if (line.dropped || !line.is_wire()) continue;
            for (const End& end : {line.from, line.to}) {
                Load& load = load_[static_cast<std::size_t>(end.element)];
                load.area_mm2 = std::max(load.area_mm2, line.area_mm2);
                ++load.lines;
            }
        }
    }

    void attach_all() {
        for (Line& line : model_.lines) {
            if (line.dropped || line.is_labelled() || line.from.element == line.to.element) continue;
            if (closes(line.from, line.to) || closes(line.to, line.from)) {
                line.touching = true;
                continue;
            }
            const bool first = may_be_guest(line.from, line.to), second = may_be_guest(line.to, line.from);
            if (!first && !second) continue;
            const bool from_is_guest = first && (!second || weighs_less(line.from, line.to));
            if (from_is_guest)
                attach(line, line.from, line.to);
            else
                attach(line, line.to, line.from);
        }
    }

  private:
    Element& element(const End& end) { return model_.elements[static_cast<std::size_t>(end.element)]; }
    static bool has_coil(const Element& element) {
        return std::any_of(element.pins.begin(), element.pins.end(), [](const Pin& pin) { return pin.coil; });
    }
    bool may_be_guest(const End& guest, const End& host) {
        const Element &a = element(guest), &b = element(host);
        const bool free = a.form == Form::symbol && a.on_bar < 0 && a.host < 0 && a.pins.size() == 2 &&
                          !hosts_[static_cast<std::size_t>(guest.element)];
        const bool holds = b.on_bar < 0 && b.host < 0 &&
                           (b.form == Form::box || b.form == Form::contact ||
                            (b.form == Form::symbol && !b.pins[static_cast<std::size_t>(host.pin)].coil));
        return free && holds && !has_coil(a);
    }
    // The other end of a guest, bolted to the same host.
    bool closes(const End& guest, const End& host) {
        Element& part = element(guest);
        if (part.host != host.element || part.across >= 0 || guest.pin == part.own_pin ||
            host.pin == part.host_pin || lines_at(guest) > 0)
            return false;
        part.across = host.pin;
        part.looks_right = false;
        return true;
    }
    int lines_at(const End& end) const {
        int count = 0;
        for (const Line& line : model_.lines)
            count += line.is_wire() && !line.dropped &&
                     (line.from.element == end.element || line.to.element == end.element);
        return count;
    }
    // The lighter of two is the guest; of equals the one named second.
    bool weighs_less(const End& a, const End& b) const {
        const Load &first = load_[static_cast<std::size_t>(a.element)],
                   &second = load_[static_cast<std::size_t>(b.element)];
        if (first.area_mm2 < second.area_mm2) return true;
        return first.area_mm2 <= second.area_mm2 && first.lines < second.lines;
    }
    void attach(Line& joint, const End guest, const End host) {
        Element& part = element(guest);
        part.host = host.element;
        part.host_pin = host.pin;
        part.own_pin = guest.pin;
        hosts_[static_cast<std::size_t>(host.element)] = true;
        joint.touching = true;
        int rightward = 0;
        for (Line& line : model_.lines) {
            if (line.dropped || line.touching) continue;
            for (End* end : {&line.from, &line.to}) {
                if (end->element != guest.element) continue;
                if (end->pin == guest.pin)
                    *end = host;  // one point with the host's pin
                else
                    rightward += line.left().element == guest.element ? 1 : -1;
            }
        }
        part.looks_right = rightward >= 0;
    }

    SheetModel& model_;
    std::vector<Load> load_;
    std::vector<bool> hosts_;  // by element
};

}  // namespace

void merge_points(const Harness& harness, std::vector<End>& place_of, SheetModel& model) {
    auto& elements = model.elements;
    for (const Joint& joint : harness.joints) {
        int into = place_of[joint.a.index()].element, from = place_of[joint.b.index()].element;
        if (into < 0 || from < 0 || into == from) continue;
        const auto is_point = [&](int index) {
            const Element& element = elements[static_cast<std::size_t>(index)];
            return element.form == Form::point && element.symbol == Symbol::dot;
        };
        if (!is_point(into) || !is_point(from)) continue;
        const auto is_port = [&](int index) {
            return harness.part(elements[static_cast<std::size_t>(index)].part).kind == Kind::port;
        };
        if (is_port(into) && !is_port(from)) std::swap(into, from);
        Element &kept = elements[static_cast<std::size_t>(into)],
                &gone = elements[static_cast<std::size_t>(from)];
        kept.also.push_back(gone.part);
        kept.also.insert(kept.also.end(), gone.also.begin(), gone.also.end());
        if (!is_port(from)) kept.name += "+" + gone.name;
        kept.title += "; " + gone.title;
        gone.dropped = true;
        for (End& place : place_of)
            if (place.element == from) place = {into, 0};
    }
}

void attach_guests(SheetModel& model) {
    Attacher(model).attach_all();
    for (Strip& strip : model.strips)
        std::erase_if(strip.lines,
                      [&](int line) { return model.lines[static_cast<std::size_t>(line)].touching; });
}

}  // namespace loomward::sheet
