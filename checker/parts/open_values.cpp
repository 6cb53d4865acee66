#include "checker/parts/open_values.hpp"

#include <algorithm>
#include <optional>
#include <utility>

#include "checker/parts/open_value_rows.hpp"

namespace loomward {

using namespace literals;

namespace {

std::string plain_name(Attr attribute) {
    std::string name(info(attribute).name);
    return name.front() == '(' ? name.substr(1, name.size() - 2) : name;
}

// "about 28 mohm, taken as 21..35 mohm"
std::string as_written(const Quantity& quantity) {
    return "about " + to_text((quantity.lo + quantity.hi) / 2, quantity.dimension) + ", taken as " +
           to_text({quantity.lo, quantity.hi, quantity.dimension, Knowledge::stated});
}

class Collector {
  public:
    explicit Collector(const Harness& harness) : harness_(harness) {}

    std::vector<OpenValue> collect() {
        take_harness();
        for (std::size_t i = 0; i < harness_.parts.size(); ++i) {
            const Part& part = harness_.parts[i];
            OpenValue begun = begin(info(part.kind).word, part.name, part.where);
            begun.part = PartId(i);
            take(part.attributes, begun);
            // Terminals for panels have a largest current, said or not.
            if (harness_.find(part.attributes, "panel-input"_attr) &&
                !harness_.find(part.attributes, "panel-current"_attr))
                add_unknown(begun, "panel-current"_attr);
        }
        for (std::size_t i = 0; i < harness_.wires.size(); ++i) take_wire(WireId(i));
        std::stable_sort(found_.begin(), found_.end(),
                         [](const OpenValue& a, const OpenValue& b) { return a.where < b.where; });
        return std::move(found_);
    }

  private:
    static OpenValue begin(std::string_view word, std::string_view name, Span where) {
        OpenValue value;
        value.subject = name;
        value.of = std::string(word) + (name.empty() ? "" : " ") + std::string(name);
        value.where = where;
        return value;
    }

    void take_harness() {
        take(harness_.attributes, begin("the harness", {}, harness_.where));
        take(harness_.policy, begin("the policy", {}, harness_.where));
        for (const Location& each : harness_.locations)
            take(each.attributes, begin("location", each.name, each.where));
        for (const Bundle& bundle : harness_.bundles) {
            OpenValue begun = begin("bundle", bundle.name, bundle.where);
            for (const WireId wire : bundle.wires) begun.wires.emplace_back(harness_.wire(wire).name);
            take(bundle.attributes, begun);
        }
        take_stretches();
        for (std::size_t i = 0; i < harness_.modes.size(); ++i) {
            const Mode& mode = harness_.modes[i];
            for (std::size_t part = 0; part < mode.states.size(); ++part) {
                take_levels(ModeId(i), PartId(part), mode.states[part].profile);
                take_levels(ModeId(i), PartId(part), mode.states[part].phase_profile);
            }
            if (!mode.ambient) continue;
            OpenValue begun = begin("mode", mode.name, mode.where);
            begun.mode = ModeId(i);
            add(begun, "ambient"_attr, *mode.ambient);
        }
    }

    OpenValue& begin_in(ModeId id, PartId part, Span where) {
        const Part& of = harness_.part(part);
        OpenValue& value = found_.emplace_back(begin(info(of.kind).word, of.name, where));
        value.of += " in mode " + std::string(harness_.modes[id.index()].name);
        value.part = part;
        value.mode = id;
        return value;
    }

    // One line a profile: what it draws in that mode.
    void take_levels(ModeId id, PartId part, std::int32_t number) {
        if (number < 0) return;
        const Mode& mode = harness_.modes[id.index()];
        const Profile& profile = mode.profiles[static_cast<std::size_t>(number)];
        const auto open = std::find_if(profile.levels.begin(), profile.levels.end(), [](const Level& level) {
            return !level.limit && (level.amount.known == Knowledge::about || !level.amount.is_known());
        });
        take_times(id, part, profile);
        if (open == profile.levels.end()) return;
        OpenValue& value = begin_in(id, part, open->where);
        value.unknown = !open->amount.is_known();
        if (!value.unknown) value.written = as_written(open->amount);
        value.name = flow_word(profile.flow);
        value.meaning = "what it does in the mode";
        value.judges = "every wire, contact and device on its way";
        value.find_out = with_a_clamp;
    }

    // How long the levels of a profile last, where nobody knows or somebody has guessed: one line too.
    void take_times(ModeId id, PartId part, const Profile& profile) {
        const auto open = std::find_if(profile.levels.begin(), profile.levels.end(), [](const Level& level) {
            return level.time && (!level.time->is_known() || level.time->known == Knowledge::about);
        });
        if (open == profile.levels.end()) return;
        OpenValue& value = begin_in(id, part, open->where);
        value.unknown = !open->time->is_known();
        if (!value.unknown) value.written = as_written(*open->time);
        value.is_time = true;
        value.name = "time of a level";
        value.meaning = "taken at its worse end: as long as it may last, or as short; a day at the most";
        value.judges = judged_over_time;
        value.find_out = with_a_clock;
    }

    void take_wire(WireId id) {
        const Wire& wire = harness_.wire(id);
        OpenValue begun = begin("wire", wire.name, wire.where);
        begun.wire = id;
        add(begun, "(area)"_attr, wire.area);
        if (!open_by_stretch(wire)) add(begun, "(length)"_attr, wire.length);
        if (wire.material_known == Knowledge::unknown) add_unknown(begun, "material"_attr);
        if (wire.insulation_known == Knowledge::unknown) add_unknown(begun, "insulation"_attr);
        take(wire.attributes, begun);
    }

    std::span<const StretchId> along(const Wire& wire) const {
        return std::span(harness_.stretches_named).subspan(wire.along.first, wire.along.count);
    }
    // Whether its length is open because that of a stretch it runs along is: told once, of the stretch.
    bool open_by_stretch(const Wire& wire) const {
        const auto ids = along(wire);
        return std::any_of(ids.begin(), ids.end(), [&](StretchId id) {
            const Value length = harness_.value(harness_.stretches[id.index()].attributes, "(length)"_attr);
            return length.known == wire.length.known;
        });
    }
    void take_stretches() {
        std::vector<std::vector<std::string>> wires(harness_.stretches.size());
        for (const Wire& wire : harness_.wires)
            for (const StretchId id : along(wire)) wires[id.index()].emplace_back(wire.name);
        for (std::size_t i = 0; i < wires.size(); ++i) {
            const Stretch& stretch = harness_.stretches[i];
            OpenValue begun = begin("stretch", stretch.name, stretch.where);
            begun.wires = std::move(wires[i]);
            take(stretch.attributes, begun);
        }
    }

    void take(Slice slice, const OpenValue& begun) {
        for (const Attribute& attribute : harness_.attributes_of(slice)) {
            OpenValue here = begun;
            if (attribute.where.valid()) here.where = attribute.where;
            if (attribute.name == "(length)"_attr && begun.wire) continue;  // in a field of the wire
            if (attribute.name == "doubt"_attr) {
                add_doubt(here, attribute);
                continue;
            }
            // One line an attribute and sort of openness.
            bool unknown = false, estimate = false;
            for (const Value& value : harness_.values_of(attribute)) {
                if (!value.present()) continue;
                if (value.known == Knowledge::unknown && !std::exchange(unknown, true))
                    add_unknown(here, attribute.name);
                else if (value.type == ValueType::quantity && value.known == Knowledge::about &&
                         !std::exchange(estimate, true))
                    add(here, attribute.name, value.quantity());
            }
        }
    }

    void add(const OpenValue& begun, Attr attribute, const Quantity& quantity) {
        if (!quantity.is_known()) return add_unknown(begun, attribute);
        if (quantity.known != Knowledge::about) return;
        OpenValue& value = found_.emplace_back(begun);
        value.written = as_written(quantity);
        describe(value, attribute);
    }
    // What contradicts itself is as open as a guess.
    void add_doubt(const OpenValue& begun, const Attribute& attribute) {
        OpenValue& value = found_.emplace_back(begun);
        describe(value, attribute.name);
        value.written = harness_.values_of(attribute).front().text;
        value.hides = Hides::note;
        value.judges = "what the doubt is about";
        value.find_out = "look at the part itself, or ask whoever wrote it down";
        value.reach = {};
    }
    void add_unknown(const OpenValue& begun, Attr attribute) {
        OpenValue& value = found_.emplace_back(begun);
        value.unknown = true;
        describe(value, attribute);
    }
    void describe(OpenValue& value, Attr attribute) const {
        value.attribute = attribute;
        value.name = plain_name(attribute);
        value.meaning = info(attribute).meaning;
        const OpenValueRow* row = open_value_row(
            value.part ? std::optional(harness_.part(value.part).kind) : std::nullopt, attribute);
        const bool known = row != nullptr;
        value.hides = known ? row->hides : Hides::error;
        value.judges = known ? row->judges : "what depends on it";
        value.find_out = known ? row->find_out : printed_on_it;
        value.reach = known ? row->reach : any_reach;
    }

    const Harness& harness_;
    std::vector<OpenValue> found_;
};

}  // namespace

const Quantity* field_of(const Wire& wire, Attr attribute) {
    return attribute == "(area)"_attr ? &wire.area : attribute == "(length)"_attr ? &wire.length : nullptr;
}
Quantity* field_of(Wire& wire, Attr attribute) {
    return attribute == "(area)"_attr ? &wire.area : attribute == "(length)"_attr ? &wire.length : nullptr;
}

bool judges_rule(const OpenValue& value, std::string_view rule) {
    if (value.reach.any_rule) return true;
    for (std::size_t at = value.judges.find(rule); at != std::string_view::npos;
         at = value.judges.find(rule, at + 1)) {
        const std::size_t end = at + rule.size();
        const bool begins = at == 0 || value.judges[at - 1] == ' ';
        if (begins && (end == value.judges.size() || value.judges.find_first_of(",; ", end) == end))
            return true;
    }
    return false;
}

bool is_ambient_of_all(const OpenValue& value) {
    return value.attribute == "ambient"_attr && value.subject.empty() && !value.mode;
}

std::vector<OpenValue> open_values(const Harness& harness) {
    return Collector(harness).collect();
}

}  // namespace loomward
