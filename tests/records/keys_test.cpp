#include "records/keys.h"

#include "errors/our_fault.h"
#include "records/made_keys.h"

#include <doctest/doctest.h>

#include <type_traits>

using namespace coldbag;
using test::bytes_of_hex;
using test::key_of_hex;
using test::of_hex;

static_assert(!std::is_copy_constructible_v<SigningKey> && !std::is_copy_assignable_v<SigningKey>);

namespace {

struct SignedRow {
  const char* secret;
  const char* key;
  const char* message;
  const char* signature;
};

// RFC 8032, section 7.1: tests 1, 2, 3 and SHA(abc).
const SignedRow rfc8032[] = {
    {"9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
     "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a", "",
     "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f"
     "0595bbe24"
     "655141438e7a100b"},
    {"4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
     "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c", "72",
     "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2ea"
     "eb4302aee"
     "b00d291612bb0c00"},
    {"c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
     "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025", "af82",
     "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e"
     "9716ed28d"
     "c027beceea1ec40a"},
    {"833fe62409237b9d62ec77587520911e9a759cec1d19755b7da901b96dca3d42",
     "ec172b93ad5e563bf4932c70e1245034c35467ef2efd4d64ebf819683467e2bf",
     "ddaf35a193617abacc417349ae20413112e6fa4e89a97ea20a9eeee64b55d39a2192992a274fc1a836ba3c23a3feebbd454d442"
     "3643ce80e"
     "2a9ac94fa54ca49f",
     "dc2a4459e7369633a52b1bf277839a00201009a3efbf3ecb69bea2186c26b58909351fc9ac90b3ecfdfbc7c66431e0303dca179"
     "c138ac17a"
     "d9bef1177331a704"},
};

} // namespace

TEST_CASE("keys and signatures are those of RFC 8032") {
  for (const SignedRow& row : rfc8032) {
    CAPTURE(row.secret);
    const SigningKey key = key_of_hex(row.secret);
    const std::string message = bytes_of_hex(row.message);
    CHECK(key.public_key() == of_hex<PublicKey>(row.key));
    CHECK(key.sign(message) == of_hex<Signature>(row.signature));
    CHECK(key.seed().text() == bytes_of_hex(row.secret));
    CHECK(is_signed_by(key.public_key(), message, of_hex<Signature>(row.signature)));
  }
}

TEST_CASE("one bit of signature, message or key changed, and it is not signed") {
  for (const SignedRow& row : rfc8032) {
    CAPTURE(row.secret);
    std::string message = bytes_of_hex(row.message);
    auto key = of_hex<PublicKey>(row.key);
    auto signature = of_hex<Signature>(row.signature);
    bool is_fooled = false;
    const auto turn_all = [&](auto& bytes) {
      for (auto& byte : bytes)
        for (unsigned bit = 0; bit < 8; ++bit) {
          const auto was = byte;
          byte = static_cast<std::remove_reference_t<decltype(byte)>>(static_cast<unsigned char>(byte) ^
                                                                      (1U << bit));
          is_fooled = is_fooled || is_signed_by(key, message, signature);
          byte = was;
        }
    };
    turn_all(signature.bytes);
    turn_all(message);
    turn_all(key.bytes);
    CHECK_FALSE(is_fooled);
    CHECK_FALSE(is_signed_by(key, message + " ", signature));
    REQUIRE(is_signed_by(key, message, signature));
  }
}

// RFC 8032, section 5.1.7: S is below the order of the group, or a second signature could be made of a first.
TEST_CASE("a signature whose S is not reduced is refused") {
  // The order, the least byte first: 2^252 + 27742317777372353535851937790883648493 (RFC 8032, section 5.1).
  const std::string order = bytes_of_hex("edd3f55c1a631258d69cf7a2def9de1400000000000000000000000000000010");
  for (const SignedRow& row : rfc8032) {
    auto signature = of_hex<Signature>(row.signature);
    unsigned carry = 0;
    for (std::size_t i = 0; i < 32; ++i) {
      const unsigned sum = signature.bytes[32 + i] + static_cast<unsigned char>(order[i]) + carry;
      signature.bytes[32 + i] = static_cast<std::uint8_t>(sum);
      carry = sum >> 8U;
    }
    REQUIRE(carry == 0);
    CHECK_FALSE(is_signed_by(of_hex<PublicKey>(row.key), bytes_of_hex(row.message), signature));
  }
}

// The ten cases of Chalkias, Garillot, Nikolaenko, Taming the many EdDSAs, 2020 (cases.json of their
// repository ed25519-speccheck, seen). Every one passes some verifier that is in use.
TEST_CASE("signatures at the edges of RFC 8032 are refused, but for one that no reading of it refuses") {
  struct EdgeCase {
    const char* what;
    const char* message;
    const char* key;
    const char* signature;
    bool is_taken;
  };
  const EdgeCase cases[] = {
      {"small key, small R, S = 0", "8c93255d71dcab10e8f379c26200f3c7bd5f09d9bc3068d3ef4edeb4853022b6",
       "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac03fa",
       "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac037a0000000000000000000000000000000000000"
       "0000000000000"
       "00000000000000",
       false},
      {"small key", "9bd9f44f4dcc75bd531b56b2cd280b0bb38fc1cd6d1230e14861d861de092e79",
       "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac03fa",
       "f7badec5b8abeaf699583992219b7b223f1df3fbbea919844e3f7c554a43dd43a5bb704786be79fc476f91d3f3f89b03984d8"
       "068dcf1bb7dfc"
       "6637b45450ac04",
       false},
      {"small R", "aebf3f2601a0c8c5d39cc7d8911642f740b78168218da8471772b35f9d35b9ab",
       "f7badec5b8abeaf699583992219b7b223f1df3fbbea919844e3f7c554a43dd43",
       "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac03fa8c4bd45aecaca5b24fb97bc10ac27ac8751a7"
       "dfe1baff8b953"
       "ec9f5833ca260e",
       false},
      {"key and R of mixed order, both equations hold",
       "9bd9f44f4dcc75bd531b56b2cd280b0bb38fc1cd6d1230e14861d861de092e79",
       "cdb267ce40c5cd45306fa5d2f29731459387dbf9eb933b7bd5aed9a765b88d4d",
       "9046a64750444938de19f227bb80485e92b83fdb4b6506c160484c016cc1852f87909e14428a7a1d62e9f22f3d3ad7802db02"
       "eb2e688b6c52f"
       "cd6648a98bd009",
       true},
      {"only times eight", "e47d62c63f830dc7a6851a0b1f33ae4bb2f507fb6cffec4011eaccd55b53f56c",
       "cdb267ce40c5cd45306fa5d2f29731459387dbf9eb933b7bd5aed9a765b88d4d",
       "160a1cb0dc9c0258cd0a7d23e94d8fa878bcb1925f2c64246b2dee1796bed5125ec6bc982a269b723e0668e540911a9a6a589"
       "21d6925e434ab"
       "10aa7940551a09",
       false},
      {"only times eight, hash not reduced before",
       "e47d62c63f830dc7a6851a0b1f33ae4bb2f507fb6cffec4011eaccd55b53f56c",
       "cdb267ce40c5cd45306fa5d2f29731459387dbf9eb933b7bd5aed9a765b88d4d",
       "21122a84e0b5fca4052f5b1235c80a537878b38f3142356b2c2384ebad4668b7e40bc836dac0f71076f9abe3a53f9c03c1cee"
       "eddb658d00304"
       "94ace586687405",
       false},
      {"S above the order", "85e241a07d148b41e47d62c63f830dc7a6851a0b1f33ae4bb2f507fb6cffec40",
       "442aad9f089ad9e14647b1ef9099a1ff4798d78589e66f28eca69c11f582a623",
       "e96f66be976d82e60150baecff9906684aebb1ef181f67a7189ac78ea23b6c0e547f7690a0e2ddcd04d87dbc3490dc19b3b30"
       "52f7ff0538cb6"
       "8afb369ba3a514",
       false},
      {"S far above the order", "85e241a07d148b41e47d62c63f830dc7a6851a0b1f33ae4bb2f507fb6cffec40",
       "442aad9f089ad9e14647b1ef9099a1ff4798d78589e66f28eca69c11f582a623",
       "8ce5b96c8f26d0ab6c47958c9e68b937104cd36e13c33566acd2fe8d38aa19427e71f98a473474f2f13f06f97c20d58cc3f54"
       "b8bd0d272f42b"
       "695dd7e89a8c22",
       false},
      {"R written in a way of its own", "fdaebc429f4a735932a160da1301080c13280eea8bc280d1b392c6b9e6ba3a5a",
       "f7badec5b8abeaf699583992219b7b223f1df3fbbea919844e3f7c554a43dd43",
       "edffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f454d370c8d9fc323a41450f8d513eafeb5b06"
       "97390c1e505a0"
       "d4ddc71f566607",
       false},
      {"R written in a way of its own, and hashed so",
       "84b698d39be126ff55fe45079e6c8bf64a0d7db6994560b4e96b7021eb39c1a1",
       "f7badec5b8abeaf699583992219b7b223f1df3fbbea919844e3f7c554a43dd43",
       "edffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f084d5b99c2a9463d9c8bd5026916996984eee"
       "c87ddf1d3be32"
       "9006ace1b37b09",
       false},
  };
  for (const EdgeCase& each : cases) {
    CAPTURE(each.what);
    CHECK(is_signed_by(of_hex<PublicKey>(each.key), bytes_of_hex(each.message),
                       of_hex<Signature>(each.signature)) == each.is_taken);
  }
}

// The fourteen ways to write the eight points of small order (table 6 of the same paper, seen in copies).
// With R the same point and S = 0 a verifier that let them through would take one message in eight, or all.
TEST_CASE("keys of small order sign nothing") {
  const char* const points[] = {
      "0100000000000000000000000000000000000000000000000000000000000000",
      "ecffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f",
      "0000000000000000000000000000000000000000000000000000000000000080",
      "0000000000000000000000000000000000000000000000000000000000000000",
      "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac037a",
      "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac03fa",
      "26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc05",
      "26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc85",
      "0100000000000000000000000000000000000000000000000000000000000080",
      "ecffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff",
      "eeffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f",
      "eeffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff",
      "edffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff",
      "edffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f",
  };
  for (const char* key : points)
    for (const char* r : points)
      for (int i = 0; i < 16; ++i) {
        CAPTURE(key);
        CAPTURE(r);
        CHECK_FALSE(
            is_signed_by(of_hex<PublicKey>(key), "message " + std::to_string(i), of_hex<Signature>(r)));
      }
}

TEST_CASE("new keys are no two alike, and sign") {
  const SigningKey one = SigningKey::make(), other = SigningKey::make();
  CHECK(one.public_key() != other.public_key());
  const Signature signature = one.sign("entry");
  CHECK(is_signed_by(one.public_key(), "entry", signature));
  CHECK_FALSE(is_signed_by(other.public_key(), "entry", signature));
  CHECK(SigningKey::of_seed(one.seed()).sign("entry") == signature);
}

TEST_CASE("a seed has 32 bytes") {
  CHECK_THROWS_AS((void)SigningKey::of_seed(Secret(31)), OurFault);
  CHECK_THROWS_AS((void)SigningKey::of_seed(Secret(64)), OurFault);
}

TEST_CASE("a signature comes back from its text, and from no other") {
  const Signature signature = test::key_of_letter('a').sign("entry");
  const std::string text = signature_text(signature);
  CHECK(text.size() == 88);
  CHECK(read_signature_text(text) == signature);
  CHECK_FALSE(read_signature_text(""));
  CHECK_FALSE(read_signature_text(text + " "));
  CHECK_FALSE(read_signature_text(text.substr(4)));
  CHECK_FALSE(read_signature_text(text.substr(0, 86) + "AA=="));
}
