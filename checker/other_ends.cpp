#include "checker/other_ends.hpp"

#include <cstdint>
#include <optional>

#include "checker/parts/capacities.hpp"
#include "checker/parts/open_ambient.hpp"

namespace loomward {

using namespace literals;

namespace {

constexpr double next_to_nothing_A = 1e-3;

void take(Value& value, double current_A) {
    value.dimension = Dimension::current;
    value.known = Knowledge::assumed;
    value.lo = value.hi = current_A;
}

// Makes the devices of a harness, of which parts may share values, as small as they may be in a copy of it.
class SmallestDevices {
  public:
    explicit SmallestDevices(const Harness& harness)
        : harness_(harness), made_(std::make_shared<Harness>(harness)) {}

    std::shared_ptr<const Harness> made() {
        bool any = false;
        for (const Part& part : harness_.parts) {
            if (part.kind == Kind::fuse || part.kind == Kind::breaker)
                any |= take_fuse(part);
            else if (part.kind == Kind::bms || part.kind == Kind::protector)
                any |= take_trip(part);
            else if (part.kind == Kind::controller)
                any |= take_return(part);
        }
        return any ? made_ : nullptr;
    }

  private:
    // Into value_store of what the file says or leaves open; none where there is nothing of the kind.
    std::optional<std::uint32_t> place_of(const Part& part, Attr attribute) const {
        const Attribute* found = harness_.find(part.attributes, attribute);
        return found && found->count > 0 ? std::optional(found->first) : std::nullopt;
    }
    bool is_open(std::optional<std::uint32_t> place) const {
        return place && harness_.value_store[*place].known == Knowledge::unknown;
    }

    bool take_fuse(const Part& part) {
        const auto rated = place_of(part, "(rated-current)"_attr);
        if (!rated) return false;
        if (is_open(rated)) {
            take(made_->value_store[*rated], next_to_nothing_A);
            return true;
        }
        if (!is_open(place_of(part, "curve"_attr)) || place_of(part, "point"_attr)) return false;
        // No device promises to open below its rated current.
        take(made_->value_store[*rated],
             harness_.value_store[*rated].lo / factor_of_unknown_family(part.kind));
        return true;
    }
    bool take_trip(const Part& part) {
        const auto trips = place_of(part, "trips"_attr);
        if (!is_open(trips)) return false;
        const auto carries =
            place_of(part, part.kind == Kind::protector ? "(rated-current)"_attr : "discharge"_attr);
        take(made_->value_store[*trips],
             carries && !is_open(carries) ? harness_.value_store[*carries].lo : next_to_nothing_A);
        return true;
    }

    bool take_return(const Part& part) {
        const auto regen = place_of(part, "regen"_attr);
        if (!is_open(regen)) return false;
        take(made_->value_store[*regen], 0);
        return true;
    }

    const Harness& harness_;
    std::shared_ptr<Harness> made_;
};

}  // namespace

std::shared_ptr<const Harness> with_smallest_devices(const std::shared_ptr<const Harness>& harness) {
    return SmallestDevices(*harness).made();
}

std::shared_ptr<const Harness> with_ambient_at(const std::shared_ptr<const Harness>& harness, bool hot) {
    const Attribute* ambient = harness->find(harness->attributes, "ambient"_attr);
    if (!ambient || ambient->count == 0 || harness->value_store[ambient->first].known != Knowledge::unknown)
        return nullptr;
    auto made = std::make_shared<Harness>(*harness);
    Value& value = made->value_store[ambient->first];
    value.dimension = Dimension::temperature;
    value.known = Knowledge::assumed;
    value.lo = value.hi = hot ? unknown_ambient.hi : unknown_ambient.lo;
    return made;
}

}  // namespace loomward
