// Text to harness: files, statements, types, the scope of the harness, modes, accepted findings, in this
// order.
#include "parser/read.hpp"

#include <algorithm>
#include <map>

#include "parser/estimates.hpp"
#include "parser/modes/own_modes.hpp"
#include "parser/names/reading.hpp"
#include "parser/statements/named_terminals.hpp"
#include "parser/stretches.hpp"
#include "parser/text/large_memory.hpp"
#include "parser/typed_lengths.hpp"

namespace loomward {
namespace {

constexpr std::size_t most_mistakes = 100;

// Room for what the text can hold at most. Room that is not used costs no memory, growing would.
void reserve_for(Reading& reading, std::size_t statements) {
    std::size_t wires = 0, attributes = 0;
    for (const auto& tree : reading.trees) {
        wires += tree->wires;
        attributes += tree->attributes;
    }
    Scope& scope = reading.root;
    reserve_large(scope.wires, wires);
    reserve_large(scope.parts, statements);
    reserve_large(scope.traits, statements);
    reserve_large(scope.terminals, statements * 4);
    reserve_large(scope.entities, statements + wires);
    scope.names.reserve(statements + wires);
    reserve_large(reading.harness.attribute_store, attributes + statements);
    reserve_large(reading.harness.value_store, 2 * (attributes + statements));
}

// A wire cannot lie farther in a bundle than it is long. Only for lengths that are known.
void check_lengths(Reading& reading) {
    for (Bundle& bundle : reading.root.bundles) {
        const Value length = reading.harness.value(bundle.attributes, "length"_attr);
        if (!length.present() || length.known == Knowledge::unknown) continue;
        for (const WireId id : bundle.wires) {
            const Wire& wire = reading.root.wires[id.index()];
            const Quantity has = length_along(reading.harness, wire);
            if (!has.is_known() || has.dimension != Dimension::length || has.hi >= length.lo) continue;
            reading
                .say("longer-than-wire", wire.where,
                     std::string(wire.name) + " is " +
                         with_typed(to_text(has), typed_in_feet(reading.harness, wire)) +
                         " long and cannot lie " +
                         with_typed(to_text(length.quantity()), typed_in_feet(reading.harness, length)) +
                         " in bundle " + std::string(bundle.name))
                .notes.push_back({length.where, std::string(bundle.name) + " is described here"});
        }
    }
}

void fill_bundles(Scope& root) {
    for (std::size_t i = 0; i < root.wires.size(); ++i)
        for (const BundleId bundle : root.wires[i].bundles)
            if (bundle) root.bundles[bundle.index()].wires.push_back(WireId(i));
}

void hand_over(Reading& reading) {
    Harness& harness = reading.harness;
    Scope& root = reading.root;
    harness.parts = std::move(root.parts);
    harness.terminals = std::move(root.terminals);
    harness.wires = std::move(root.wires);
    harness.joints = std::move(root.joints);
    harness.ties = std::move(root.ties);
    harness.cables = std::move(root.cables);
    harness.bundles = std::move(root.bundles);
    harness.locations = std::move(root.locations);
    harness.driver_pins = std::move(root.driver_pins);
    harness.sources = reading.sources;
}

// By file and place, no two alike; a file with very many mistakes says how many are left out.
std::vector<Diagnostic> sorted(std::vector<Diagnostic> mistakes) {
    const auto before = [](const Diagnostic& a, const Diagnostic& b) {
        if (a.where.file != b.where.file) return a.where.file < b.where.file;
        if (a.where.begin != b.where.begin) return a.where.begin < b.where.begin;
        return a.id < b.id;
    };
    std::stable_sort(mistakes.begin(), mistakes.end(), before);
    const auto same = [](const Diagnostic& a, const Diagnostic& b) {
        return a.where.file == b.where.file && a.where.begin == b.where.begin && a.id == b.id;
    };
    mistakes.erase(std::unique(mistakes.begin(), mistakes.end(), same), mistakes.end());
    std::vector<Diagnostic> kept;
    std::map<FileId, std::size_t> count;
    for (Diagnostic& mistake : mistakes) {
        const std::size_t number = ++count[mistake.where.file];
        if (number <= most_mistakes) {
            kept.push_back(std::move(mistake));
        } else if (number == most_mistakes + 1) {
            const auto in_file = std::count_if(mistakes.begin(), mistakes.end(), [&](const Diagnostic& m) {
                return m.where.file == mistake.where.file;
            });
            Diagnostic& more = kept.emplace_back();
            more.id = "more-mistakes";
            more.where = mistake.where;
            more.message = std::to_string(static_cast<std::size_t>(in_file) - most_mistakes) +
                           " more mistakes in this file are not shown";
        }
    }
    return kept;
}

ReadResult read_all(const std::string& path, std::optional<std::string> text, FileReader& files,
                    const ReadOptions& options) {
    Reading reading(files, options);
    Statements statements;
    load_files(reading, path, std::move(text), statements);
    reserve_for(reading, statements.parts.size());
    read_harness_statements(reading, statements);
    resolve_part_types(reading, statements.types);
    resolve_bodies(reading);
    resolve_scope(reading, reading.root, statements.parts);
    find_named_terminals(reading, reading.root);
    fill_bundles(reading.root);
    check_lengths(reading);
    read_modes(reading, statements.modes);
    read_acceptances(reading, statements.acceptances);

    // Whatever was found bad keeps the harness back, even if nobody said why.
    if (reading.mistakes.empty() && reading.doubt)
        reading.say("unreadable", *reading.doubt, "something of this could not be read").help =
            "this is a fault of the program: please report it";

    ReadResult result;
    result.sources = reading.sources;
    result.mistakes = sorted(std::move(reading.mistakes));
    if (result.mistakes.empty()) {
        hand_over(reading);
        name_stretches_of(reading.harness.wires, reading.harness);
        add_own_modes(reading.harness, reading.arena);
        spread_estimates(reading.harness);
        for (Wire& wire : reading.harness.wires) wire.length = length_along(reading.harness, wire);
        result.harness = std::move(reading.harness);
    }
    return result;
}

}  // namespace

ReadResult::ReadResult() = default;
ReadResult::~ReadResult() = default;
ReadResult::ReadResult(const ReadResult&) = default;
ReadResult::ReadResult(ReadResult&&) noexcept = default;
ReadResult& ReadResult::operator=(const ReadResult&) = default;
ReadResult& ReadResult::operator=(ReadResult&&) noexcept = default;

ReadResult read_harness(const std::string& path, FileReader& files, const ReadOptions& options) {
    return read_all(path, std::nullopt, files, options);
}

ReadResult read_harness_text(const std::string& path, std::string text, FileReader& files,
                             const ReadOptions& options) {
    return read_all(path, std::move(text), files, options);
}

}  // namespace loomward
