#include "checker/currents/grouping.hpp"

#include <algorithm>

#include "checker/parts/elements.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr double counts_as_loaded = 0.3;  // of what a conductor may carry in its group

// Not known: the one that keeps most heat in.
Wrap wrap_of(const Value& value) {
    const std::string_view word = value.text;
    if (value.known == Knowledge::unknown) return Wrap::foamed;
    if (word == "taped") return Wrap::taped;
    if (word == "sleeved") return Wrap::sleeved;
    if (word == "conduit") return Wrap::conduit;
    if (word == "foamed") return Wrap::foamed;
    return Wrap::open;
}

// How much less a conductor may carry with so many loaded beside it, whatever its size.
double share(Wrap wrap, int loaded) {
    return ampacity_A(1, 90, false, {30, wrap, loaded}) / ampacity_A(1, 90, false, {30, wrap, 1});
}

// The largest set that holds: each member carries more than 30 % of what it may with all of them loaded.
class Loaded {
  public:
    Loaded(const Harness& harness, const HeatGroup& group, std::span<const double> current_A,
           std::span<const double> alone_A)
        : in_(group.wires.size()) {
        for (std::size_t i = 0; i < in_.size(); ++i) {
            in_[i] = current_A[group.wires[i].index()] > 1e-3;
            if (in_[i]) count_ += harness.wire(group.wires[i]).parallel;
        }
        for (bool changed = count_ > 0; changed;) {
            changed = false;
            const double factor = share(group.wrap, count_);
            for (std::size_t i = 0; i < in_.size(); ++i) {
                const std::size_t wire = group.wires[i].index();
                if (!in_[i] || current_A[wire] > counts_as_loaded * alone_A[i] * factor) continue;
                in_[i] = false;
                count_ -= harness.wires[wire].parallel;
                changed = true;
            }
        }
    }
    // With this member counted, whatever it carries.
    int with(std::size_t member, int conductors) const { return count_ + (in_[member] ? 0 : conductors); }

  private:
    std::vector<bool> in_;
    int count_ = 0;
};

}  // namespace

std::vector<HeatGroup> heat_groups(const Harness& harness) {
    std::vector<HeatGroup> groups;
    for (const Bundle& bundle : harness.bundles)
        groups.push_back({wrap_of(harness.value(bundle.attributes, "wrap"_attr)), bundle.wires});
    for (const Cable& cable : harness.cables) groups.push_back({Wrap::open, cable.cores});
    for (std::size_t i = 0; i < harness.wires.size(); ++i)
        if (harness.wires[i].parallel > 1) groups.push_back({Wrap::open, {WireId(i)}});
    return groups;
}

double limit_A(const Facts& facts, WireId id, const Surroundings& surroundings) {
    const Wire& wire = facts.harness().wire(id);
    if (!wire.area.is_known()) return 0;
    return wire.parallel *
           ampacity_A(wire.area.lo, conductor_limit_degC(facts, id), wire.aluminium, surroundings);
}

std::vector<Surroundings> surroundings_of(const Circuit& circuit, const Facts& facts,
                                          std::span<const double> current_A, ModeId mode) {
    const Harness& harness = *circuit.harness;
    std::vector<Surroundings> around(harness.wires.size());
    for (std::size_t i = 0; i < around.size(); ++i)
        around[i] = {facts.ambient(WireId(i), mode).hi, Wrap::open, 1};
    std::vector<double> least_A(harness.wires.size(), -1);
    for (const HeatGroup& group : heat_groups(harness)) {
        std::vector<double> alone_A(group.wires.size());
        for (std::size_t i = 0; i < alone_A.size(); ++i) {
            const WireId id = group.wires[i];
            alone_A[i] = limit_A(facts, id, {around[id.index()].ambient_degC, group.wrap, 1});
        }
        const Loaded loaded(harness, group, current_A, alone_A);
        for (std::size_t i = 0; i < group.wires.size(); ++i) {
            const std::size_t wire = group.wires[i].index();
            const int count = loaded.with(i, harness.wires[wire].parallel);
            const Surroundings here{around[wire].ambient_degC, group.wrap, std::max(count, 1)};
            if (least_A[wire] < 0) least_A[wire] = limit_A(facts, group.wires[i], around[wire]);
            const double here_A = limit_A(facts, group.wires[i], here);
            if (here_A >= least_A[wire]) continue;
            least_A[wire] = here_A;
            around[wire] = here;
        }
    }
    return around;
}

}  // namespace loomward
