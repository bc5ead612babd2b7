//! What is stored compiled and made when it is first looked at: the demo meets two thirds of the formulas and
//! tables, and its report says the words of one rule in seven.

use serde::de::{self, DeserializeOwned};
use serde::{Deserialize, Deserializer, Serialize, Serializer, ser};
use std::fmt;
use std::marker::PhantomData;
use std::ops::Deref;
use std::sync::OnceLock;

/// A value, or the bytes that it is made of when somebody first looks at it.
pub struct Later<T> {
    made: OnceLock<T>,
    stored: Box<[u8]>,
}

impl<T> Later<T> {
    /// One that is there already.
    pub fn now(value: T) -> Later<T> {
        Later { made: OnceLock::from(value), stored: Box::default() }
    }
}

impl<T: DeserializeOwned + Default> Later<T> {
    /// Makes it now.
    pub fn make(&self) {
        let _ = &**self;
    }

    /// To be changed in place.
    pub fn get_mut(&mut self) -> Option<&mut T> {
        self.make();
        self.made.get_mut()
    }
}

impl<T: DeserializeOwned + Default> Deref for Later<T> {
    type Target = T;

    /// What can't be made counts as empty, which no rule passes for; a test makes everything that is built in.
    #[inline]
    fn deref(&self) -> &T {
        self.made.get_or_init(|| postcard::from_bytes(&self.stored).unwrap_or_default())
    }
}

impl<T: Default> Default for Later<T> {
    fn default() -> Later<T> {
        Later::now(T::default())
    }
}

impl<T> From<T> for Later<T> {
    fn from(value: T) -> Later<T> {
        Later::now(value)
    }
}

impl<T: DeserializeOwned + Default + fmt::Debug> fmt::Debug for Later<T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        (**self).fmt(f)
    }
}

impl<T: DeserializeOwned + Default + Serialize> Serialize for Later<T> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_bytes(&postcard::to_stdvec(&**self).map_err(ser::Error::custom)?)
    }
}

impl<'de, T> Deserialize<'de> for Later<T> {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Later<T>, D::Error> {
        struct Bytes<T>(PhantomData<T>);
        impl<T> de::Visitor<'_> for Bytes<T> {
            type Value = Later<T>;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("bytes")
            }

            fn visit_bytes<E: de::Error>(self, bytes: &[u8]) -> Result<Later<T>, E> {
                Ok(Later { made: OnceLock::new(), stored: bytes.into() })
            }
        }
        from.deserialize_bytes(Bytes(PhantomData))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What comes out of the bytes is what went in, whether or not it was looked at; bytes that are nothing
    /// give an empty value, and no panic.
    #[test]
    fn it_is_made_of_its_bytes() {
        let bytes = postcard::to_stdvec(&Later::now(vec![1_u32, 2, 300])).unwrap();
        let later: Later<Vec<u32>> = postcard::from_bytes(&bytes).unwrap();
        assert!(later.made.get().is_none(), "nobody looked yet");
        assert_eq!(*later, [1, 2, 300]);
        assert!(later.made.get().is_some());
        assert_eq!(postcard::to_stdvec(&later).unwrap(), bytes);
        let lost = Later::<Vec<u32>> { made: OnceLock::new(), stored: [9, 9].into() };
        assert!(lost.is_empty());
    }
}
