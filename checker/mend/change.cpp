#include "checker/mend/change.hpp"

#include <algorithm>
#include <cctype>
#include <utility>

#include "checker/mend/ladders.hpp"
#include "checker/tables/ampacity.hpp"

namespace loomward {
namespace {

// Places of the numbers with units of a dimension in an attribute: "carries 25 A".
struct Found {
    std::size_t begin = 0, end = 0;
    std::string number;
};

std::optional<Found> figure_in(const std::string& text, Dimension dimension) {
    for (std::size_t i = 0; i < text.size(); ++i) {
        const bool starts = std::isdigit(static_cast<unsigned char>(text[i])) != 0 || text[i] == '-';
        if (!starts || (i > 0 && text[i - 1] != ' ')) continue;
        std::size_t end = text.find(' ', i);
        if (end == std::string::npos) continue;
        const std::string number = text.substr(i, end - i);
        end = text.find_first_of(" ,", end + 1);
        if (end == std::string::npos) end = text.size();
        const auto quantity = quantity_from_text(text.substr(i, end - i));
        if (quantity && quantity->dimension == dimension) return Found{i, end, number};
    }
    return std::nullopt;
}

// A range keeps the end that is not asked about.
std::string with_figure(const Found& found, const Change& change) {
    const std::string figure = to_text(change.value, change.key.dimension, 4);
    const std::size_t dots = found.number.find("..");
    if (dots == std::string::npos) return figure;
    const std::size_t blank = figure.find(' ');
    const std::string number = figure.substr(0, blank), unit = figure.substr(blank);
    return (change.upper ? found.number.substr(0, dots) + ".." + number
                         : number + ".." + found.number.substr(dots + 2)) +
           unit;
}

bool set_rating(EditedText& text, const Change& change, const Harness& found) {
    const std::string& part = change.key.where;
    const std::string_view name = info(change.key.what).name;
    if (!change.text.empty()) return text.set_attribute(part, name, change.text);
    const bool nameless = name.starts_with('(');
    const auto own = nameless ? text.nameless(part, change.key.dimension) : text.attribute(part, name);
    std::string now = own ? *own : std::string();
    if (!own)
        if (const auto id = found.find_part(part)) now = written(found, *id, change.key.what);
    if (const auto figure = figure_in(now, change.key.dimension))
        now.replace(figure->begin, figure->end - figure->begin, with_figure(*figure, change));
    else
        now = (nameless ? "" : std::string(name) + " ") + to_text(change.value, change.key.dimension, 4);
    return nameless ? text.set_nameless(part, change.key.dimension, now)
                    : text.set_attribute(part, name, now);
}

bool set_besides(EditedText& text, const Change& change) {
    return std::all_of(change.besides.begin(), change.besides.end(), [&](const auto& beside) {
        const std::string_view name = info(beside.first).name;
        if (!name.starts_with('(')) return text.set_attribute(change.key.where, name, beside.second);
        const auto quantity = quantity_from_text(beside.second);
        return quantity && text.set_nameless(change.key.where, quantity->dimension, beside.second);
    });
}

bool make(EditedText& text, const Change& change, const Harness& found, const EndsOfWire& ends) {
    const ChangeKey& key = change.key;
    switch (key.verb) {
        case Verb::rating:
            return set_rating(text, change, found) && set_besides(text, change);
        case Verb::type:
            return text.set_type(key.where, change.text);
        case Verb::size:
            return text.set_wire(
                key.where, Dimension::area,
                change.text.empty() ? to_text(change.value, Dimension::area, 4) : change.text);
        case Verb::length:
            return text.set_wire(key.where, Dimension::length, to_text(change.value, Dimension::length, 4));
        case Verb::setting:
            return text.set_attribute(key.where, info(key.what).name, change.text);
        case Verb::mode_line:
            return text.add_to_mode(key.where, change.text, change.text.starts_with("after "));
        case Verb::exchange:
            return text.exchange(key.where, change.other);
        case Verb::join:
            text.add_statement(change.text);
            return true;
        case Verb::land:
            return text.land(key.where, key.at_its_beginning, change.other, ends);
        case Verb::branch:
            if (!text.land(key.where, key.at_its_beginning, change.other, ends)) return false;
            text.add_statement(change.text);
            return true;
        case Verb::build:
            text.add_statement(change.text);
            text.add_at_end(change.other);
            return true;
        case Verb::put_in:
            if (!text.put_in(key.where, key.at_its_beginning, change.other)) return false;
            text.add_statement(change.text);
            return true;
        case Verb::take_out:
            return text.take_out(key.where, ends);
    }
    return false;
}

}  // namespace

Plan merged(Plan plan, const Plan& with) {
    for (const auto& [key, change] : with) {
        const auto at = plan.find(key);
        Change next = change;
        // What was there before the plan is what it is changed from.
        if (at != plan.end()) next.from = at->second.from;
        plan[key] = std::move(next);
    }
    return plan;
}

Plan without(const Plan& plan, const ChangeKey& key) {
    Plan rest = plan;
    const std::string brought = brought_by(plan.at(key));
    rest.erase(key);
    if (!brought.empty())
        std::erase_if(rest, [&](const auto& entry) { return entry.first.where == brought; });
    return rest;
}

std::optional<Plan> with_smaller(const Plan& plan, const ChangeKey& key) {
    const auto smaller = one_smaller(plan.at(key));
    if (!smaller) return std::nullopt;
    Plan with = plan;
    with[key] = *smaller;
    return with;
}

// A fuse that was there is not made smaller than it has to be, and nothing smaller than what is there.
std::optional<Change> one_smaller(const Change& change) {
    if (!change.is_step() || change.value < change.from) return std::nullopt;
    const auto step = step_below(change.ladder, change.value);
    if (!step || *step <= change.from) return std::nullopt;
    Change smaller = change;
    smaller.value = *step;
    if (smaller.key.verb == Verb::size) smaller.text = size_text(*step);
    return smaller;
}

double points_of(const Plan& plan) {
    double sum = 0;
    for (const auto& [key, change] : plan) sum += change.points;
    return sum;
}

std::vector<ChangeKey> dearest_first(const Plan& plan) {
    std::vector<ChangeKey> keys;
    for (const auto& [key, change] : plan) keys.push_back(key);
    std::stable_sort(keys.begin(), keys.end(), [&](const ChangeKey& a, const ChangeKey& b) {
        return plan.at(a).points > plan.at(b).points;
    });
    return keys;
}

std::string brought_by(const Change& change) {
    if (change.key.verb == Verb::put_in) return change.other;
    if (change.key.verb == Verb::branch) return change.other.substr(0, change.other.rfind('.'));
    return change.key.verb == Verb::build ? change.key.where : std::string();
}

bool is_about_what_it_brings(const Plan& more, const Plan& plan) {
    return std::all_of(more.begin(), more.end(), [&](const auto& asked) {
        return std::any_of(plan.begin(), plan.end(), [&](const auto& entry) {
            return asked.first != entry.first && brought_by(entry.second) == asked.first.where;
        });
    });
}

std::string signature_of(const Plan& plan) {
    std::string text;
    for (const auto& [key, change] : plan)
        text += std::to_string(static_cast<int>(key.verb)) + key.where +
                std::to_string(static_cast<int>(key.what)) + std::to_string(static_cast<int>(key.dimension)) +
                (key.at_its_beginning ? "<" : ">") + std::to_string(change.value) + change.text +
                change.other + ";";
    return text;
}

std::string written(const Harness& harness, PartId part, Attr what) {
    const Attribute* attribute = harness.find(harness.part(part).attributes, what);
    if (!attribute) return {};
    Span all;
    for (const Value& value : harness.values_of(*attribute)) {
        if (!value.present() || !value.where.valid()) continue;
        if (!all.valid()) all = value.where;
        if (value.where.file != all.file || value.where.begin < all.begin) return {};
        all.end = value.where.end;
    }
    if (!all.valid()) return {};
    const std::string_view name = info(what).name;
    return (name.starts_with('(') ? "" : std::string(name) + " ") + std::string(harness.sources->text(all));
}

std::optional<std::string> applied(const Plan& plan, const std::string& text, const Harness& found) {
    EditedText edited(text);
    const EndsOfWire ends = [&](std::string_view wire) -> std::optional<WireEnds> {
        const auto id = found.find_wire(wire);
        if (!id) return std::nullopt;
        return WireEnds{std::string(found.terminal(found.wire(*id).from).path),
                        std::string(found.terminal(found.wire(*id).to).path)};
    };
    for (const auto& [key, change] : plan)
        if (!make(edited, change, found, ends)) return std::nullopt;
    return edited.text();
}

}  // namespace loomward
