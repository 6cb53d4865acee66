#include "parser/name_table.hpp"

#include <cstring>

namespace loomward {
namespace {

char folded(char letter) {
    return letter >= 'A' && letter <= 'Z' ? static_cast<char>(letter + 32) : letter;
}

bool alike(std::string_view a, std::string_view b) {
    if (a.size() != b.size()) return false;
    for (std::size_t i = 0; i < a.size(); ++i)
        if (folded(a[i]) != folded(b[i])) return false;
    return true;
}

// Eight bytes a step. Bit 5 is set everywhere, which makes capitals and small letters hash alike (and a few
// other pairs of characters too, which only costs a comparison).
std::uint32_t case_blind_hash(std::string_view name) {
    constexpr std::uint64_t fold = 0x2020202020202020U;
    constexpr std::uint64_t multiplier = 0x9E3779B97F4A7C15U;
    std::uint64_t hash = name.size() * multiplier;
    const char* at = name.data();
    std::size_t left = name.size();
    while (left > 0) {
        std::uint64_t piece = 0;
        const std::size_t bytes = left < 8 ? left : 8;
        std::memcpy(&piece, at, bytes);
        hash = (hash ^ (piece | fold)) * multiplier;
        hash ^= hash >> 29U;
        at += bytes;
        left -= bytes;
    }
    return static_cast<std::uint32_t>(hash >> 32U);
}

}  // namespace

void NameTable::reserve(std::size_t names) {
    std::size_t slots = 16;
    while (slots < names * 2) slots *= 2;
    if (slots > slots_.size()) grow(slots);
}

void NameTable::grow(std::size_t slots) {
    std::vector<Slot> old(slots);
    old.swap(slots_);
    for (const Slot& slot : old) {
        if (!slot.name) continue;
        std::size_t at = slot.hash & (slots - 1);
        while (slots_[at].name) at = (at + 1) & (slots - 1);
        slots_[at] = slot;
    }
}

std::uint32_t NameTable::find(std::string_view name) const {
    if (slots_.empty()) return none;
    const std::uint32_t hash = case_blind_hash(name);
    for (std::size_t at = hash & (slots_.size() - 1); slots_[at].name; at = (at + 1) & (slots_.size() - 1)) {
        const Slot& slot = slots_[at];
        if (slot.hash == hash && std::string_view(slot.name, slot.size) == name) return slot.index;
    }
    return none;
}

NameTable::Inserted NameTable::insert(std::string_view name, std::uint32_t index) {
    if ((used_ + 1) * 2 > slots_.size()) grow(slots_.empty() ? 16 : slots_.size() * 2);
    const std::uint32_t hash = case_blind_hash(name);
    Inserted result;
    std::size_t at = hash & (slots_.size() - 1);
    for (; slots_[at].name; at = (at + 1) & (slots_.size() - 1)) {
        const Slot& slot = slots_[at];
        if (slot.hash != hash) continue;
        const std::string_view there(slot.name, slot.size);
        if (there == name) {
            result.same = slot.index;
            return result;
        }
        if (result.alike == none && alike(there, name)) result.alike = slot.index;
    }
    slots_[at] = {name.data(), static_cast<std::uint32_t>(name.size()), hash, index};
    ++used_;
    return result;
}

}  // namespace loomward
