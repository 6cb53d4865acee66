// Attribute values as the checker uses them: what the user stated, else the table's default, else a default
// worked out here. Every default and every estimate that is handed out is put on the assumption list.
#pragma once
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "parser/harness.hpp"

namespace loomward {

// A default or estimate that was used, with all who used it.
struct Assumption {
    std::string what;                  // "resistance of a switch contact"
    std::string value;                 // "1 mohm"
    std::string source;                // "no source"
    std::vector<std::string> used_by;  // paths, source order
};

class Facts {
  public:
    explicit Facts(const Harness& harness);
    ~Facts();
    Facts(const Facts&) = delete;
    Facts& operator=(const Facts&) = delete;

    // Value `place` of an attribute of a part, or the table's default for its kind. An estimate ("about")
    // comes back already spread by policy estimate-spread. nullopt: neither stated nor defaulted, or
    // `unknown`.
    std::optional<Quantity> quantity(PartId part, Attr name, std::size_t place = 0) const;
    // A word ("blocked", "none", "dc"); empty where there is none.
    std::string_view word(PartId part, Attr name, std::size_t place = 0) const;
    std::optional<int> count(PartId part, Attr name, std::size_t place = 0) const;
    // Stated as unknown (not merely left out).
    bool is_unknown(PartId part, Attr name) const;

    // A value of the policy, with its default.
    Quantity policy(Attr name) const;
    // Ambient of a part, wire or the harness, coldest to hottest degC, from location, bundle, mode or
    // harness; 10..40 degC assumed where nothing says; -20..50 if unknown.
    Quantity ambient(PartId part, ModeId mode = {}) const;
    Quantity ambient(WireId wire, ModeId mode = {}) const;

    // The air in a location gets as hot as this in a mode from what is in it (checker/heat/boxes): from now
    // on `ambient` reaches there for all in it; without a mode, as hot as in any mode.
    void warm(LocationId location, ModeId mode, double inside_degC);
    // The surroundings of a location itself, whatever is in it; and the air in it.
    Quantity around(LocationId location, ModeId mode = {}) const;
    Quantity within(LocationId location, ModeId mode = {}) const;
    // As `ambient`, before anything has warmed the boxes that it runs through.
    Quantity cold_ambient(WireId wire, ModeId mode = {}) const;

    // Above the sea: 0 m where nobody says, 2000 m where nobody knows (up to there what is printed on devices
    // holds, IEC 60947-1, memory). That nobody says is put on the list by assume_altitude, where it
    // matters.
    double altitude_m() const;
    void assume_altitude() const;
    // The least at which the air moves across a wire all along it; 0 in still air and where nobody says.
    double air_speed_m_s(WireId wire) const;

    // Puts something worked out elsewhere on the list: ("resistance of a fuse", "0.1 V / rated current", "no
    // source", "F1").
    void assume(std::string_view what, std::string_view value, std::string_view source,
                std::string_view user) const;

    std::vector<Assumption> assumptions() const;  // grouped, sorted
    const Harness& harness() const { return harness_; }

  private:
    Quantity find_policy(Attr name) const;
    Quantity ambient_of(WireId wire, ModeId mode, bool warmed) const;
    template <class Widen>
    void widen_by_ends(WireId wire, ModeId mode, bool warmed, Widen widen) const;

    struct Memory;
    const Harness& harness_;
    std::unique_ptr<Memory>
        memory_;  // what has been used so far; the reason reads are const but the class is not shared
};

}  // namespace loomward
