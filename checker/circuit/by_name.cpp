#include "checker/circuit/by_name.hpp"

#include <algorithm>
#include <numeric>

namespace loomward {
namespace {

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

// The digits that begin there, without the zeros before them.
std::string_view number_at(std::string_view text, std::size_t& at) {
    while (at < text.size() && text[at] == '0') ++at;
    const std::size_t begin = at;
    while (at < text.size() && is_digit(text[at])) ++at;
    return text.substr(begin, at - begin);
}

template <class Id, class NameOf>
std::vector<Id> sorted_by(std::size_t count, NameOf name_of) {
    std::vector<Id> ids;
    ids.reserve(count);
    for (std::size_t i = 0; i < count; ++i) ids.push_back(Id(i));
    const auto before = [&](Id a, Id b) { return comes_before(name_of(a), name_of(b)); };
    if (!std::is_sorted(ids.begin(), ids.end(), before)) std::stable_sort(ids.begin(), ids.end(), before);
    return ids;
}

}  // namespace

bool comes_before(std::string_view a, std::string_view b) {
    std::size_t i = 0, k = 0;
    while (i < a.size() && k < b.size()) {
        if (is_digit(a[i]) && is_digit(b[k])) {
            const std::string_view left = number_at(a, i), right = number_at(b, k);
            if (left.size() != right.size()) return left.size() < right.size();
            if (left != right) return left < right;
        } else {
            if (a[i] != b[k]) return static_cast<unsigned char>(a[i]) < static_cast<unsigned char>(b[k]);
            ++i, ++k;
        }
    }
    if (i < a.size() || k < b.size()) return i == a.size();
    return a < b;  // "W01" and "W1"
}

std::vector<PartId> parts_by_name(const Harness& harness) {
    return sorted_by<PartId>(harness.parts.size(), [&](PartId id) { return harness.part(id).name; });
}
std::vector<WireId> wires_by_name(const Harness& harness) {
    return sorted_by<WireId>(harness.wires.size(), [&](WireId id) { return harness.wire(id).name; });
}
std::vector<ModeId> modes_by_name(const Harness& harness) {
    return sorted_by<ModeId>(harness.modes.size(), [&](ModeId id) { return harness.modes[id.index()].name; });
}

std::vector<std::size_t> joints_by_name(const Harness& harness) {
    std::vector<std::size_t> order(harness.joints.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    const auto names = [&](std::size_t joint) {
        std::string_view a = harness.terminal(harness.joints[joint].a).path,
                         b = harness.terminal(harness.joints[joint].b).path;
        if (comes_before(b, a)) std::swap(a, b);
        return std::pair(a, b);
    };
    std::stable_sort(order.begin(), order.end(), [&](std::size_t left, std::size_t right) {
        const auto a = names(left), b = names(right);
        return a.first != b.first ? comes_before(a.first, b.first) : comes_before(a.second, b.second);
    });
    return order;
}

}  // namespace loomward
