// Names of one scope: an open-addressing hash from name to index. It also notices names that differ only
// in their capitals, because the hash does not look at case. Never walked, so nothing depends on its order.
// The names themselves stay with the caller: `name_of(index)` gives the one that was inserted as `index`, so
// that a slot is eight bytes and a hundred thousand names stay near the processor.
#pragma once
#include <cstdint>
#include <string_view>
#include <vector>

#include "parser/text/large_memory.hpp"

namespace loomward {

class NameTable {
  public:
    static constexpr std::uint32_t none = 0xFFFFFFFF;

    void reserve(std::size_t names) {
        std::size_t slots = 16;
        while (slots < names * 2) slots *= 2;
        if (slots > slots_.size()) grow(slots);
    }

    // Index kept for exactly that name, or `none`.
    template <class NameOf>
    std::uint32_t find(std::string_view name, NameOf name_of) const {
        if (slots_.empty()) return none;
        const std::uint32_t hash = hash_of(name);
        for (std::size_t at = hash & (slots_.size() - 1); slots_[at].index != none; at = next(at))
            if (slots_[at].hash == hash && name_of(slots_[at].index) == name) return slots_[at].index;
        return none;
    }

    struct Inserted {
        std::uint32_t same = none;   // that name is there already: its index; nothing was inserted
        std::uint32_t alike = none;  // a name that differs only in capitals: its index; inserted all the same
    };
    template <class NameOf>
    Inserted insert(std::string_view name, std::uint32_t index, NameOf name_of) {
        if ((used_ + 1) * 2 > slots_.size()) grow(slots_.empty() ? 16 : slots_.size() * 2);
        const std::uint32_t hash = hash_of(name);
        Inserted result;
        std::size_t at = hash & (slots_.size() - 1);
        for (; slots_[at].index != none; at = next(at)) {
            if (slots_[at].hash != hash) continue;
            const std::string_view there = name_of(slots_[at].index);
            if (there == name) {
                result.same = slots_[at].index;
                return result;
            }
            if (result.alike == none && alike(there, name)) result.alike = slots_[at].index;
        }
        slots_[at] = {hash, index};
        ++used_;
        return result;
    }

  private:
    struct Slot {
        std::uint32_t hash = 0;
        std::uint32_t index = none;
    };
    static std::uint32_t hash_of(std::string_view name);
    static bool alike(std::string_view a, std::string_view b);
    std::size_t next(std::size_t at) const { return (at + 1) & (slots_.size() - 1); }
    void grow(std::size_t slots);

    std::vector<Slot, LargeAllocator<Slot>> slots_;  // a power of two, at most half full
    std::size_t used_ = 0;
};

}  // namespace loomward
