#include "checker/papers/schedules.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include "checker/papers/wire_entries.hpp"
#include "checker/parts/bolted.hpp"
#include "checker/parts/facts.hpp"
#include "checker/parts/ratings.hpp"

namespace loomward {

using namespace literals;

namespace {

std::optional<double> figure(const Value& value) {
    if (value.type != ValueType::quantity || !value.quantity().is_known()) return std::nullopt;
    return value.hi;
}

std::string first_text(const Harness& harness, Slice attributes, Attr name) {
    const std::vector<std::string> texts = texts_of(harness, attributes, name);
    return texts.empty() ? std::string() : texts.front();
}

// As it is written, without the name of the attribute.
std::string written_values(const Harness& harness, const Attribute& attribute) {
    Span all;
    for (const Value& value : harness.values_of(attribute)) {
        if (!value.present() || !value.where.valid()) continue;
        if (!all.valid()) all = value.where;
        if (value.where.file == all.file && value.where.end > all.end) all.end = value.where.end;
    }
    return all.valid() ? std::string(harness.sources->text(all)) : std::string();
}

std::string word_of(Attr name) {
    const std::string_view word = info(name).name;
    return word.starts_with('(') ? std::string() : std::string(word) + " ";
}

bool is_device(Kind kind) {
    return kind == Kind::fuse || kind == Kind::breaker;
}

FuseEntry fuse_entry(const Harness& harness, PartId id, const std::vector<double>& short_here_A) {
    const Part& part = harness.part(id);
    FuseEntry entry;
    entry.part = id;
    entry.name = part.name;
    entry.label = part.label;
    entry.kind = info(part.kind).word;
    const Value holder = harness.value(part.attributes, "holder"_attr);
    if (holder.present()) entry.holder = holder.text;
    entry.rated_A = figure(harness.value(part.attributes, "(rated-current)"_attr));
    entry.rated_V = figure(harness.value(part.attributes, "(rated-voltage)"_attr));
    if (!entry.rated_V) entry.rated_V = figure(harness.value(part.attributes, "(operational-voltage)"_attr));
    if (const Attribute* breaks = harness.find(part.attributes, "breaks"_attr)) {
        entry.breaks = written_values(harness, *breaks);
        entry.breaks_A = figure(harness.value(part.attributes, "breaks"_attr));
    }
    const Value curve = harness.value(part.attributes, "curve"_attr);
    if (curve.present() && curve.quantity().is_known()) entry.curve = curve.text;
    entry.torque_Nm = figure(harness.value(part.attributes, "torque"_attr));
    if (id.index() < short_here_A.size() && short_here_A[id.index()] > 0)
        entry.short_here_A = short_here_A[id.index()];
    entry.note = first_text(harness, part.attributes, "note"_attr);
    entry.order = first_text(harness, part.attributes, "order"_attr);
    return entry;
}

class ContactLister {
  public:
    explicit ContactLister(const Results& results)
        : results_(results), harness_(*results.circuit.harness), facts_(harness_) {
        warm(facts_, results.boxes);
        landing_.resize(harness_.terminals.size());
        for (std::size_t i = 0; i < harness_.wires.size(); ++i) {
            landing_[harness_.wires[i].from.index()].push_back(WireId(i));
            landing_[harness_.wires[i].to.index()].push_back(WireId(i));
        }
        carried_A_.resize(results.circuit.edges.size(), -1);
        for (const OperatingPoint& point : results.points)
            if (point.usable())
                for (std::size_t i = 0; i < carried_A_.size(); ++i)
                    carried_A_[i] = std::max(carried_A_[i], std::abs(point.edge_A[i]));
    }

    void list(PartId id, std::vector<ContactEntry>& entries) const {
        const auto spares = harness_.spares_of(id);
        for (const EdgeId edge_id : results_.circuit.edges_of_part[id.index()]) {
            const Edge& edge = results_.circuit.edge(edge_id);
            if (edge.role != EdgeRole::contact) continue;
            const bool turned = harness_.terminal(edge.from_terminal).mate_half;
            const TerminalId own = turned ? edge.to_terminal : edge.from_terminal;
            const TerminalId mate = turned ? edge.from_terminal : edge.to_terminal;
            ContactEntry entry;
            entry.connector = id;
            entry.contact = harness_.terminal(own).name;
            entry.terminal = harness_.terminal(own).path;
            entry.mate = harness_.terminal(mate).path;
            entry.wires = landing_[own.index()];
            entry.mate_wires = landing_[mate.index()];
            if (carried_A_[edge_id.index()] >= 0) entry.worst_A = carried_A_[edge_id.index()];
            if (const auto rating = current_rating(facts_, edge, facts_.ambient(id), Direction::either))
                entry.may_A = rating->may_A;
            entry.spare = std::any_of(spares.begin(), spares.end(),
                                      [&](TerminalId spare) { return spare == own || spare == mate; });
            entries.push_back(std::move(entry));
        }
    }

  private:
    const Results& results_;
    const Harness& harness_;
    Facts facts_;
    std::vector<std::vector<WireId>> landing_;  // by TerminalId
    std::vector<double> carried_A_;             // by EdgeId; below 0: no mode was solved
};

std::vector<MaterialEntry> materials_of(const Harness& harness) {
    std::vector<MaterialEntry> materials;
    std::map<std::tuple<Kind, std::string, std::string, std::string>, std::size_t> known;
    for (std::size_t i = 0; i < harness.parts.size(); ++i) {
        const Part& part = harness.parts[i];
        if (part.kind == Kind::port || part.kind == Kind::splice || part.kind == Kind::frame) continue;
        const std::string ratings =
            fmt::format("{}", fmt::join(written_attributes(harness, PartId(i)), ", "));
        const std::string order = first_text(harness, part.attributes, "order"_attr);
        const auto [at, fresh] =
            known.try_emplace({part.kind, std::string(part.type), ratings, order}, materials.size());
        if (fresh)
            materials.push_back(
                {0, std::string(info(part.kind).word), std::string(part.type), ratings, order, {}});
        ++materials[at->second].amount;
        materials[at->second].names.emplace_back(part.name);
    }
    std::stable_sort(materials.begin(), materials.end(),
                     [](const MaterialEntry& a, const MaterialEntry& b) { return a.kind < b.kind; });
    return materials;
}

std::vector<TorqueEntry> torques_of(const Harness& harness) {
    std::vector<TorqueEntry> torques;
    for (std::size_t i = 0; i < harness.parts.size(); ++i) {
        const Part& part = harness.parts[i];
        const Value torque = harness.value(part.attributes, "torque"_attr);
        const bool stated = torque.present() && torque.quantity().is_known();
        if (!stated && !torque.present() && !is_bolted(harness, PartId(i))) continue;
        TorqueEntry entry{PartId(i), std::string(part.name), std::string(part.label), std::nullopt, {}};
        if (stated) entry.torque = torque.quantity();
        for (std::uint32_t t = 0; t < part.terminals.count; ++t) {
            const Terminal& terminal = harness.terminals[part.terminals.first + t];
            const bool coil =
                terminal.role == TerminalRole::coil_in || terminal.role == TerminalRole::coil_out;
            if (!coil) entry.terminals.emplace_back(terminal.path);
        }
        torques.push_back(std::move(entry));
    }
    return torques;
}

}  // namespace

std::vector<std::string> texts_of(const Harness& harness, Slice attributes, Attr name) {
    std::vector<std::string> texts;
    for (const Attribute& attribute : harness.attributes_of(attributes))
        if (attribute.name == name)
            for (const Value& value : harness.values_of(attribute))
                if (value.present()) texts.emplace_back(value.text);
    return texts;
}

std::vector<std::string> written_attributes(const Harness& harness, PartId part) {
    std::vector<std::string> all;
    for (const Attribute& attribute : harness.attributes_of(harness.part(part).attributes)) {
        const Attr name = attribute.name;
        if (name == "note"_attr || name == "doubt"_attr || name == "order"_attr || name == "at"_attr ||
            name == "holder"_attr || name == "spare"_attr)
            continue;
        all.push_back(word_of(name) + written_values(harness, attribute));
    }
    return all;
}

Schedules schedules_of(const Results& results, double allowance, const std::vector<double>& short_here_A) {
    const Harness& harness = *results.harness;
    Schedules schedules;
    schedules.wires = wire_entries(results, allowance);
    schedules.reels = reel_totals(schedules.wires);
    const ContactLister contacts(results);
    for (std::size_t i = 0; i < harness.parts.size(); ++i) {
        if (is_device(harness.parts[i].kind))
            schedules.fuses.push_back(fuse_entry(harness, PartId(i), short_here_A));
        if (harness.parts[i].kind == Kind::connector) contacts.list(PartId(i), schedules.contacts);
    }
    for (const WireEntry& wire : schedules.wires)
        for (const bool begin : {true, false})
            schedules.labels.push_back({wire.name, begin ? wire.from : wire.to, begin ? wire.to : wire.from,
                                        wire.size, wire.colour});
    schedules.materials = materials_of(harness);
    schedules.torques = torques_of(harness);
    return schedules;
}

}  // namespace loomward
