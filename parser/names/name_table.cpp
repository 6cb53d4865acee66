#include "parser/names/name_table.hpp"

#include <cstring>

namespace loomward {
namespace {

char folded(char letter) {
    return letter >= 'A' && letter <= 'Z' ? static_cast<char>(letter + 32) : letter;
}

}  // namespace

bool NameTable::alike(std::string_view a, std::string_view b) {
    if (a.size() != b.size()) return false;
    for (std::size_t i = 0; i < a.size(); ++i)
        if (folded(a[i]) != folded(b[i])) return false;
    return true;
}

// Eight bytes a step. Bit 5 is set everywhere, which makes capitals and small letters hash alike (and a few
// other pairs of characters too, which only costs a comparison). The last character stays as it is at the
// lower end: W10 to W19 lie side by side, and a large file, which names things in order, asks memory once for
// them.
std::uint32_t NameTable::hash_of(std::string_view name) {
    constexpr std::uint64_t fold = 0x2020202020202020U;
    constexpr std::uint64_t multiplier = 0x9E3779B97F4A7C15U;
    if (name.empty()) return 0;
    std::uint64_t hash = name.size() * multiplier;
    const char* at = name.data();
    std::size_t left = name.size() - 1;
    while (left > 0) {
        std::uint64_t piece = 0;
        const std::size_t bytes = left < 8 ? left : 8;
        std::memcpy(&piece, at, bytes);
        hash = (hash ^ (piece | fold)) * multiplier;
        hash ^= hash >> 32U;
        at += bytes;
        left -= bytes;
    }
    const auto last = static_cast<std::uint32_t>(static_cast<unsigned char>(name.back()) & 15U);
    return (static_cast<std::uint32_t>((hash * multiplier) >> 32U) << 4U) | last;
}

void NameTable::grow(std::size_t slots) {
    std::vector<Slot, LargeAllocator<Slot>> old(slots);
    old.swap(slots_);
    for (const Slot& slot : old) {
        if (slot.index == none) continue;
        std::size_t at = slot.hash & (slots - 1);
        while (slots_[at].index != none) at = next(at);
        slots_[at] = slot;
    }
}

}  // namespace loomward
