// Names of one scope: an open-addressing hash from name to index. It also notices names that differ only
// in their capitals, because the hash does not look at case. Never walked, so nothing depends on its order.
#pragma once
#include <cstdint>
#include <string_view>
#include <vector>

namespace loomward {

class NameTable {
  public:
    static constexpr std::uint32_t none = 0xFFFFFFFF;

    void reserve(std::size_t names);
    // Index kept for exactly that name, or `none`.
    std::uint32_t find(std::string_view name) const;

    struct Inserted {
        std::uint32_t same = none;   // that name is there already: its index; nothing was inserted
        std::uint32_t alike = none;  // a name that differs only in capitals: its index; inserted all the same
    };
    Inserted insert(std::string_view name, std::uint32_t index);

  private:
    struct Slot {
        const char* name = nullptr;
        std::uint32_t size = 0;
        std::uint32_t hash = 0;
        std::uint32_t index = none;
    };
    void grow(std::size_t slots);

    std::vector<Slot> slots_;  // a power of two, at most half full
    std::size_t used_ = 0;
};

}  // namespace loomward
