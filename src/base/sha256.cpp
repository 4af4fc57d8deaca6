#include "sha256.h"

#include <nettle/sha2.h>

#include <array>
#include <cstdint>

namespace tymbal {

std::string sha256_hex(const std::string& text) {
    sha256_ctx context;
    sha256_init(&context);
    sha256_update(&context, text.size(), reinterpret_cast<const std::uint8_t*>(text.data()));
    std::array<std::uint8_t, SHA256_DIGEST_SIZE> digest{};
    sha256_digest(&context, digest.size(), digest.data());
    std::string hex;
    for (const std::uint8_t byte : digest) {
        hex.push_back("0123456789abcdef"[byte >> 4U]);
        hex.push_back("0123456789abcdef"[byte & 15U]);
    }
    return hex;
}

}  // namespace tymbal
