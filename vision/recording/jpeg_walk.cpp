#include "vision/recording/jpeg_walk.h"

#include <algorithm>
#include <array>
#include <cstdint>
#include <cstdlib>
#include <optional>
#include <vector>

#include "vision/recording/decode.h"
#include "vision/recording/jpeg_seam.h"

namespace vision::recording {
namespace {

/// A Huffman table as T.81, F.2.2.3 decodes with it.
struct Codes {
  bool there = false;
  std::array<int, 18> most{}, first{}, place{};
  std::vector<std::uint8_t> values;
};

struct Component {
  int id = 0, across = 1, down = 1, quantiser = 0, dc = 0, ac = 0, last_dc = 0;
  BlockLevels blocks;
};

struct Header {
  int width = 0, height = 0, restart = 0;
  std::vector<Component> components;
  std::array<std::array<int, 64>, 4> quantisers{};
  std::array<Codes, 4> dc, ac;
};

/// Bits of one entropy-coded segment; a marker ends it.
class Bits {
 public:
  Bits(std::string_view bytes, std::size_t at) : bytes_(bytes), at_(at) {}

  /// -1 at the end.
  int One() {
    if (left_ == 0 && !Fill()) return -1;
    return static_cast<int>(byte_ >> --left_ & 1u);
  }
  /// Steps over the restart marker that stands there. @return Whether the rest of the segment was less than a byte and
  /// the marker is the right one.
  bool Restart(int number) {
    left_ = 0;
    if (at_ + 1 >= bytes_.size() || Byte(at_) != 0xFF || Byte(at_ + 1) != static_cast<unsigned>(0xD0 + number % 8))
      return false;
    at_ += 2;
    return true;
  }
  /// Whether nothing but the end of the last byte is left before a marker.
  bool Done() {
    while (at_ + 1 < bytes_.size() && Byte(at_) == 0xFF && Byte(at_ + 1) == 0xFF) ++at_;  // fill bytes (B.1.1.2)
    return at_ + 1 < bytes_.size() && Byte(at_) == 0xFF && Byte(at_ + 1) != 0;
  }

 private:
  unsigned Byte(std::size_t at) const { return static_cast<unsigned char>(bytes_[at]); }
  bool Fill() {
    if (at_ >= bytes_.size()) return false;
    byte_ = Byte(at_);
    if (byte_ == 0xFF) {
      if (at_ + 1 >= bytes_.size() || Byte(at_ + 1) != 0) return false;
      ++at_;
    }
    ++at_;
    left_ = 8;
    return true;
  }
  std::string_view bytes_;
  std::size_t at_;
  unsigned byte_ = 0, left_ = 0;
};

constexpr int kEnd = -1, kNoCode = -2;  ///< Format: no byte is one of them.

int Symbol(Bits& bits, const Codes& codes) {
  int code = 0;
  for (std::size_t length = 1; length <= 16; ++length) {
    const int bit = bits.One();
    if (bit < 0) return kEnd;
    code = code << 1 | bit;
    if (code <= codes.most[length])
      return codes.values[static_cast<std::size_t>(codes.place[length] + code - codes.first[length])];
  }
  return kNoCode;
}

/// F.2.2.1: `size` more bits make a number. nullopt at the end.
std::optional<int> Extended(Bits& bits, int size) {
  int value = 0;
  for (int i = 0; i < size; ++i) {
    const int bit = bits.One();
    if (bit < 0) return std::nullopt;
    value = value << 1 | bit;
  }
  return size > 0 && value < 1 << (size - 1) ? value - (1 << size) + 1 : value;
}

/// 8-bit samples give coefficients of at most 1024 (A.3.3), half a step of the quantiser more when rounded; cameras'
/// integer transforms may be off by a few.
bool Fits(int coefficient, int step) { return std::abs(coefficient) * step <= 1024 + step + 16; }

Walked WalkBlock(Bits& bits, Component& component, const Header& header) {
  const auto& dc = header.dc[static_cast<std::size_t>(component.dc)];
  const auto& ac = header.ac[static_cast<std::size_t>(component.ac)];
  const auto& steps = header.quantisers[static_cast<std::size_t>(component.quantiser)];
  const int size = Symbol(bits, dc);
  if (size == kEnd) return Walked::kTooShort;
  if (size == kNoCode || size > 11) return Walked::kBadCode;
  const auto difference = Extended(bits, size);
  if (!difference) return Walked::kTooShort;
  component.last_dc += *difference;
  if (!Fits(component.last_dc, steps[0])) return Walked::kTooLarge;
  for (int k = 1; k < 64; ++k) {
    const int symbol = Symbol(bits, ac);
    if (symbol == kEnd) return Walked::kTooShort;
    if (symbol == kNoCode) return Walked::kBadCode;
    if (symbol == 0) return Walked::kRight;
    const int run = symbol >> 4, bits_of = symbol & 15;
    k += run;
    if (k > 63 || (bits_of == 0 && (run != 15 || k == 63))) return Walked::kTooFar;
    if (bits_of > 10) return Walked::kTooLarge;
    const auto value = Extended(bits, bits_of);
    if (!value) return Walked::kTooShort;
    if (!Fits(*value, steps[static_cast<std::size_t>(k)])) return Walked::kTooLarge;
  }
  return Walked::kRight;
}

void LayOut(Header& header, long columns, long rows) {
  for (auto& c : header.components) {
    c.blocks = {static_cast<int>(columns) * c.across, static_cast<int>(rows) * c.down, c.across, c.down, {}};
    c.blocks.level.assign(static_cast<std::size_t>(c.blocks.columns) * static_cast<std::size_t>(c.blocks.rows), 0);
  }
}

/// The level of a block just read: a DC coefficient is eight times the mean (A.3.3).
void Note(Component& c, long column, long row, int block, const Header& header) {
  const long x = column * c.across + block % c.across, y = row * c.down + block / c.across;
  const int step = header.quantisers[static_cast<std::size_t>(c.quantiser)][0];
  c.blocks.level[static_cast<std::size_t>(y * c.blocks.columns + x)] = static_cast<float>(c.last_dc * step) / 8;
}

Walked WalkScan(std::string_view bytes, std::size_t at, Header& header) {
  int across = 1, down = 1;
  for (const auto& c : header.components) across = std::max(across, c.across), down = std::max(down, c.down);
  const bool single = header.components.size() == 1;
  if (single) header.components[0].across = header.components[0].down = across = down = 1;
  const long columns = (header.width + 8 * across - 1) / (8 * across),
             rows = (header.height + 8 * down - 1) / (8 * down);
  LayOut(header, columns, rows);
  Bits bits(bytes, at);
  for (long unit = 0; unit < columns * rows; ++unit) {
    if (header.restart > 0 && unit > 0 && unit % header.restart == 0) {
      if (!bits.Restart(static_cast<int>(unit / header.restart - 1))) return Walked::kLeftOver;
      for (auto& c : header.components) c.last_dc = 0;
    }
    for (auto& component : header.components)
      for (int block = 0; block < component.across * component.down; ++block) {
        const Walked walked = WalkBlock(bits, component, header);
        // Some coders end the last unit a few bits early (FFmpeg's now and then); nothing else is lost by that.
        if (walked == Walked::kTooShort && unit + 1 == columns * rows) return Walked::kRight;
        if (walked != Walked::kRight) return walked;
        Note(component, unit % columns, unit / columns, block, header);
      }
  }
  if (!bits.Done()) return Walked::kLeftOver;
  if (header.restart > 0) return Walked::kRight;  // levels begin anew at each
  for (const auto& component : header.components)
    if (LevelsJump(component.blocks)) return Walked::kJump;
  return Walked::kRight;
}

class Parser {
 public:
  explicit Parser(std::string_view bytes) : bytes_(bytes) {}

  Walked Run() {
    std::size_t at = 2;
    while (at + 4 <= bytes_.size() && Byte(at) == 0xFF) {
      const unsigned marker = Byte(at + 1);
      if (marker == 0xFF) {
        ++at;
        continue;
      }
      const std::size_t length = Two(at + 2), end = at + 2 + length;
      if (length < 2 || end > bytes_.size()) return Walked::kOther;
      const std::string_view body = bytes_.substr(at + 4, length - 2);
      if (marker == 0xDA) return Scan(body) ? WalkScan(bytes_, end, header_) : Walked::kOther;
      if (!Segment(marker, body)) return Walked::kOther;
      at = end;
    }
    return Walked::kOther;
  }

 private:
  unsigned Byte(std::size_t at) const { return static_cast<unsigned char>(bytes_[at]); }
  std::size_t Two(std::size_t at) const { return Byte(at) << 8 | Byte(at + 1); }
  static int Of(std::string_view body, std::size_t at) { return static_cast<unsigned char>(body[at]); }

  bool Segment(unsigned marker, std::string_view body) {
    if (marker == 0xDB) return Quantisers(body);
    if (marker == 0xC4) return Huffman(body);
    if (marker == 0xC0 || marker == 0xC1) return Frame(body);
    if (marker == 0xDD && body.size() >= 2) header_.restart = Of(body, 0) << 8 | Of(body, 1);
    return marker == 0xDD || marker == 0xFE || (marker >= 0xE0 && marker <= 0xEF);
  }

  /// B.2.4.1; the order is of no matter here but for the first, since each is compared with its own in zigzag order.
  bool Quantisers(std::string_view body) {
    for (std::size_t at = 0; at < body.size();) {
      const int wide = Of(body, at) >> 4, which = Of(body, at) & 15;
      const std::size_t size = wide ? 128 : 64;
      if (which > 3 || wide > 1 || at + 1 + size > body.size()) return false;
      for (std::size_t k = 0; k < 64; ++k)
        header_.quantisers[static_cast<std::size_t>(which)][k] =
            wide ? Of(body, at + 1 + 2 * k) << 8 | Of(body, at + 2 + 2 * k) : Of(body, at + 1 + k);
      at += 1 + size;
    }
    return true;
  }

  bool Huffman(std::string_view body) {
    for (std::size_t at = 0; at < body.size();) {
      if (at + 17 > body.size() || (Of(body, at) & 15) > 3 || Of(body, at) >> 4 > 1) return false;
      Codes& codes = (Of(body, at) >> 4 ? header_.ac : header_.dc)[static_cast<std::size_t>(Of(body, at) & 15)];
      codes = {};
      codes.there = true;
      int code = 0, place = 0;
      for (std::size_t length = 1; length <= 16; ++length) {
        const int count = Of(body, at + length);
        codes.first[length] = code, codes.place[length] = place;
        codes.most[length] = count > 0 ? code + count - 1 : -1;
        code = (code + count) << 1, place += count;
      }
      if (at + 17 + static_cast<std::size_t>(place) > body.size()) return false;
      for (int i = 0; i < place; ++i)
        codes.values.push_back(static_cast<std::uint8_t>(Of(body, at + 17 + static_cast<std::size_t>(i))));
      at += 17 + static_cast<std::size_t>(place);
    }
    return true;
  }

  bool Frame(std::string_view body) {
    if (body.size() < 6 || Of(body, 0) != 8 || !header_.components.empty()) return false;
    header_.height = Of(body, 1) << 8 | Of(body, 2), header_.width = Of(body, 3) << 8 | Of(body, 4);
    const auto count = static_cast<std::size_t>(Of(body, 5));
    if (count < 1 || count > 4 || body.size() < 6 + 3 * count || header_.height == 0 || header_.width == 0 ||
        static_cast<double>(header_.width) * header_.height > kMostPixels)
      return false;
    header_.components.clear();
    for (std::size_t i = 0; i < count; ++i) {
      const std::size_t at = 6 + 3 * i;
      Component c;
      c.id = Of(body, at), c.across = Of(body, at + 1) >> 4, c.down = Of(body, at + 1) & 15;
      c.quantiser = Of(body, at + 2);
      if (c.across < 1 || c.across > 4 || c.down < 1 || c.down > 4 || c.quantiser > 3) return false;
      header_.components.push_back(c);
    }
    return true;
  }

  /// One scan of all components, in order, with tables that are there.
  bool Scan(std::string_view body) {
    const std::size_t count = header_.components.size();
    if (count == 0 || body.size() < 1 + 2 * count + 3 || static_cast<std::size_t>(Of(body, 0)) != count) return false;
    for (std::size_t i = 0; i < count; ++i) {
      Component& c = header_.components[i];
      c.dc = Of(body, 2 + 2 * i) >> 4, c.ac = Of(body, 2 + 2 * i) & 15;
      if (Of(body, 1 + 2 * i) != c.id || c.dc > 3 || c.ac > 3) return false;
      if (!header_.dc[static_cast<std::size_t>(c.dc)].there || !header_.ac[static_cast<std::size_t>(c.ac)].there)
        return false;
    }
    return true;
  }

  std::string_view bytes_;
  Header header_;
};

}  // namespace

Walked WalkJpeg(std::string_view bytes) { return Parser(bytes).Run(); }

}  // namespace vision::recording
