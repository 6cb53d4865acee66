// Mistakes planted into the sound examples, by editing their text: what kinds there are, where each is
// planted, and which rule has to name which part.
#pragma once
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "checker/parts/facts.hpp"
#include "checker/results.hpp"
#include "parser/read.hpp"

namespace planted {

// Reads a file of the examples; its mistakes, if any, are in the result.
loomward::ReadResult read_example(const std::string& name, const std::string& text);

// A sound example, read and checked.
struct Sound {
    explicit Sound(const std::string& name);

    std::string name;  // "market-cart.loom"
    std::string text;
    std::shared_ptr<const loomward::Harness> harness;
    loomward::Results results;
    std::vector<double> peak_A;       // by EdgeId, over all usable points
    std::vector<double> sustained_A;  // by EdgeId, over all usable courses

    const loomward::Circuit& circuit() const { return results.circuit; }
    const loomward::Part& part(loomward::PartId id) const { return harness->part(id); }
    std::string path(loomward::TerminalId id) const { return std::string(harness->terminal(id).path); }

    // Parts of these kinds that the file itself fits; of a repeated assembly the first copy.
    std::vector<loomward::PartId> parts(std::initializer_list<loomward::Kind> kinds) const;
    // Wires that stand in brackets in the file itself (no cores of cables); of an assembly the first copy.
    std::vector<loomward::WireId> wires() const;
    // Largest current through any edge of a part.
    double peak_of(loomward::PartId part) const;
    double sustained_of(loomward::PartId part) const;
    // Largest voltage across an edge in any usable point, V.
    double across_V(loomward::EdgeId edge) const;
    // The edge of a part with this role; invalid if it has none.
    loomward::EdgeId edge_of(loomward::PartId part, loomward::EdgeRole role) const;
    // Whether conductors lead from here to the plus of a pack.
    bool leads_to_a_pack(loomward::NodeId from) const;
    // Stated value of an attribute, or of its type.
    std::optional<loomward::Quantity> value(loomward::PartId part, loomward::Attr attribute) const;
};

// Edits. Each gives the whole text.
// The attribute as `written`, in place of the part's own or as an override of its type's.
std::string with_attribute(const Sound& sound, loomward::PartId part, loomward::Attr attribute,
                           const std::string& written);
// The same for several at once.
std::string with_attributes(const Sound& sound, loomward::PartId part,
                            const std::vector<std::pair<loomward::Attr, std::string>>& written);
// The statement of the part is taken out, and `instead` put there.
std::string without_part(const Sound& sound, loomward::PartId part, const std::string& instead);
// Field `field` of a wire in brackets: 0 its size or type, 1 its length.
std::string with_wire_field(const Sound& sound, loomward::WireId wire, std::size_t field,
                            const std::string& written);
// Statements added at the end.
std::string with_lines(const Sound& sound, const std::string& lines);
// The first or every place where `from` stands as a word of its own in a route; nullopt where it does not.
std::optional<std::string> with_route_word(const Sound& sound, const std::string& from,
                                           const std::string& to);

// The two terminals of a part with poles.
struct Poles {
    std::string plus, minus;
};
Poles poles_of(const Sound& sound, loomward::PartId part);
// Loads that some mode feeds, outside of assemblies.
std::vector<loomward::PartId> fed_loads(const Sound& sound);

// What has to be found.
struct Plant {
    std::string place;               // what was changed
    std::string text;                // the file with the mistake
    std::vector<std::string> rules;  // any of these rules, at error or warning level ...
    std::vector<std::string> about;  // ... has to name one of these parts or wires
};

struct Kind {
    const char* name;
    std::vector<Plant> (*plant)(const Sound& sound);
};
std::vector<Kind> protection_kinds();
std::vector<Kind> rating_kinds();
std::vector<Kind> wiring_kinds();
std::vector<Kind> source_kinds();
std::vector<Kind> load_kinds();

}  // namespace planted
