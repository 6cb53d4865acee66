#include "tests/mend/planted_mistakes.hpp"

#include <fmt/format.h>

#include "checker/mend/ladders.hpp"

namespace loomward::planting {

using namespace literals;

namespace {

struct Chance {
    std::mt19937& engine;
    std::size_t of(std::size_t count) { return static_cast<std::size_t>(engine() % count); }
};

std::string thin(EditedText& text, const Wire& wire) {
    const auto thinner = step_down(wire_sizes_mm2(), wire.area.lo / 3);
    if (wire.cable || !thinner) return {};
    const std::string now = to_text(*thinner, Dimension::area);
    return text.set_wire(wire.name, Dimension::area, now)
               ? fmt::format("{} {} -> {}", wire.name, to_text(wire.area), now)
               : "";
}

std::string too_long(EditedText& text, const Wire& wire) {
    if (wire.cable || !wire.length.is_known()) return {};
    constexpr double times = 10;
    const std::string now = to_text(wire.length.lo * times, Dimension::length);
    return text.set_wire(wire.name, Dimension::length, now)
               ? fmt::format("{} {} -> {}", wire.name, to_text(wire.length), now)
               : "";
}

// The lead between a pack and its fuse.
std::string far_fuse(EditedText& text, const Harness& harness, const Wire& wire) {
    const auto kind = [&](TerminalId at) { return harness.part(harness.terminal(at).part).kind; };
    const bool before_fuse = (kind(wire.from) == Kind::pack && kind(wire.to) == Kind::fuse) ||
                             (kind(wire.from) == Kind::fuse && kind(wire.to) == Kind::pack);
    return before_fuse && text.set_wire(wire.name, Dimension::length, "0.8 m")
               ? fmt::format("{} 0.8 m", wire.name)
               : "";
}

std::string big_fuse(EditedText& text, const Harness& harness, const Part& part, double times) {
    const Value rated = harness.value(part.attributes, "(rated-current)"_attr);
    if (part.kind != Kind::fuse || !rated.present()) return {};
    const auto larger = step_up(fuse_ratings_A(), rated.lo * times);
    if (!larger) return {};
    const std::string now = to_text(*larger, Dimension::current);
    return text.set_nameless(part.name, Dimension::current, now)
               ? fmt::format("{} {} -> {}", part.name, to_text(rated.quantity()), now)
               : "";
}

std::string low_voltage(EditedText& text, const Part& part) {
    if (part.kind != Kind::fuse && part.kind != Kind::switch_) return {};
    if (!text.nameless(part.name, Dimension::voltage)) return {};
    return text.set_nameless(part.name, Dimension::voltage, "16 V") ? fmt::format("{} 16 V", part.name) : "";
}

std::string small_contact(EditedText& text, const Harness& harness, const Part& part) {
    const Value carries = harness.value(part.attributes, "carries"_attr);
    if ((part.kind != Kind::connector && part.kind != Kind::switch_) || !carries.present()) return {};
    const auto smaller = step_down(contact_ratings_A(), carries.lo * 0.3);
    if (!smaller) return {};
    const std::string now = "carries " + to_text(*smaller, Dimension::current);
    return text.set_attribute(part.name, "carries", now) ? fmt::format("{} {}", part.name, now) : "";
}

std::string bypass(EditedText& text, const Part& part) {
    if (part.kind != Kind::fuse || text.text().find("W990") != std::string::npos) return {};
    text.add_statement(fmt::format("route {0}.in (W990 4 mm2, 0.1 m, red) {0}.out", part.name));
    return fmt::format("{} bypassed", part.name);
}

std::string high_setting(EditedText& text, const Part& part) {
    if (part.kind != Kind::controller) return {};
    const std::optional<std::string> said = text.attribute(part.name, "supply-limit");
    if (!said) return {};
    const std::size_t at = said->find_first_of("0123456789");
    const std::size_t unit = said->find(' ', at);
    if (at == std::string::npos || unit == std::string::npos) return {};
    const bool percent = (*said)[unit + 1] == '%';
    double twice = 2 * std::stod(said->substr(at, unit - at));
    if (percent) twice = std::min(100.0, twice);
    const std::string now = fmt::format("supply-limit {}{}", twice, said->substr(unit));
    return text.set_attribute(part.name, "supply-limit", now) ? fmt::format("{} {}", part.name, now) : "";
}

// A mode no longer says what it is entered from.
std::string no_after(EditedText& text, Chance& chance) {
    std::vector<std::size_t> places;
    for (std::size_t at = text.text().find("\n  after "); at != std::string::npos;
         at = text.text().find("\n  after ", at + 1))
        places.push_back(at);
    if (places.empty()) return {};
    std::string changed = text.text();
    const std::size_t at = places[chance.of(places.size())];
    const std::string line = changed.substr(at + 3, changed.find('\n', at + 1) - at - 3);
    changed.erase(at, line.size() + 3);
    text = EditedText(changed);
    return "no more '" + line + "'";
}

}  // namespace

std::string plant_mistake(EditedText& text, const Harness& sound, std::mt19937& engine) {
    Chance chance{engine};
    const Part& part = sound.parts[chance.of(sound.parts.size())];
    const Wire& wire = sound.wires[chance.of(sound.wires.size())];
    switch (chance.of(10)) {
        case 0:
        case 1:
            return thin(text, wire);
        case 2:
            return big_fuse(text, sound, part, static_cast<double>(2 + chance.of(4)));
        case 3:
            return low_voltage(text, part);
        case 4:
            return small_contact(text, sound, part);
        case 5:
            return bypass(text, part);
        case 6:
            return high_setting(text, part);
        case 7:
            return too_long(text, wire);
        case 8:
            return far_fuse(text, sound, wire);
        default:
            return no_after(text, chance);
    }
}

BrokenText broken_text(const std::string& sound_text, const Harness& sound, unsigned number,
                       const std::function<bool(const std::string&)>& reads, std::size_t count) {
    std::mt19937 engine(number);
    const std::size_t by_chance = 1 + engine() % 6, wanted = count > 0 ? count : by_chance;
    BrokenText broken;
    EditedText text(sound_text);
    for (int round = 0; round < 2000 && broken.mistakes.size() < wanted; ++round) {
        const EditedText before = text;
        std::string mistake = plant_mistake(text, sound, engine);
        if (mistake.empty()) continue;
        // Some parts take no such figure: then it is no mistake but no text.
        if (reads(text.text()))
            broken.mistakes.push_back(std::move(mistake));
        else
            text = before;
    }
    broken.text = text.text();
    return broken;
}

}  // namespace loomward::planting
